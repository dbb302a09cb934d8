"""Focus: sharpness on and off the subject, and where the sharpest part lies.

Sharpness is how much of the change over a short stretch already happens over a quarter of it: the
ratio of the energies of fine and coarse differences, the idea of the re-blur measure of Crete and
others (The blur effect: perception and estimation with a new no-reference perceptual blur metric,
SPIE 6492, 2007) without the need to blur. Contrast cancels in the ratio; noise adds equally to
both and is taken off. The frame is read along lines a few pixels apart and judged tile by tile;
tiles without texture do not count.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from auditor.geometry import Point
from auditor.quantity import Quantity
from auditor.reasons import Reason

REFERENCE_SIDE_PX = 2048
"""Longest side at which fine differences span one pixel; at larger sizes they span more, so that
blur is judged against the frame, as a viewer sees it, not against the camera's pixels."""

COARSE_RATIO = 4
"""Coarse differences span four times the fine ones."""

LINES_LONG_SIDE = 1024
"""Rows and columns read along the longest side: in a larger picture neighbours tell the same."""

N_TILES_LONG_SIDE = 32
"""Tiles along the longest side: about the size of an olive in a plate that fills the frame."""

SMALLEST_SIDE_PX = 64
"""Below it a tile would have too few differences to tell anything."""

TEXTURE_CODE_VALUES = 6.0
"""Root mean square coarse difference, 8-bit code values, above which a tile has texture; about
the contrast at which a texture is seen at all (common practice, no source)."""

TEXTURE_OVER_NOISE = 5.0
"""Energy of the coarse differences over that of noise alone from which a tile has texture."""

WHITE_RATIO = 0.5
"""Energy of fine over coarse differences above which a tile shows noise: white noise has 1, while
the sharpest edge has 1/4."""

NOISE_PERCENTILE = 5.0
"""Where every tile has texture, the smoothest tiles show the noise."""

CHANCE_DEVIATIONS = 2.0
"""Standard deviations of a tile's noise energy that are taken off beside its mean: of many tiles
the sharpest are looked at, and chance must not make one."""

SUBJECT_PERCENTILE = 90.0
"""The subject is as sharp as its sharpest tenth: depth of field is shallow on purpose."""

FRAME_PERCENTILE = 97.0
"""The sharpest part of the frame, without the one tile that is an accident."""

NEARLY_BEST = 0.9
"""Sharpness over the frame's best from which a tile belongs to the sharpest part."""

IN_FOCUS_RATIO = 0.44
"""Sharpness of the subject over the frame's best from which it is in focus. Things differ in how
fine they are made, a glazed pot from a woven cloth: on 58 rendered tables with the subject in focus
all but one had 0.46 and above; with it blurred by 1.5 px of 1024, 95 % had 0.42 and less."""

UNSURE_RATIO = 0.12
"""Half the range around `IN_FOCUS_RATIO` in which the answer is open, in the same ratio."""

MIN_SUBJECT_TILES = 3
"""Textured tiles on the subject below which nothing can be said."""

BEST_CONFIDENCE = 0.95
"""A subject without any texture where it matters, or a wrong mask, can always be."""


@dataclass(frozen=True, slots=True)
class Focus:
    """Sharpness in the frame; the quantity's confidence is that of `subject_in_focus`.

    Attributes
    ----------
    subject_sharpness : float
        In [0, 1], higher is sharper; comparable between pictures of about the same size.
    sharpest_at : Point
        Centre of the sharpest part of the frame.
    subject_in_focus : bool
        Whether the subject is about as sharp as the sharpest part of the frame.
    """

    subject_sharpness: float
    sharpest_at: Point
    subject_in_focus: bool


@dataclass(frozen=True, slots=True)
class SharpnessMap:
    """Sharpness tile by tile.

    Attributes
    ----------
    sharpness : (rows, columns) float array
        In [0, 1]; meaningless where there is no texture.
    textured : (rows, columns) bool array
    """

    sharpness: NDArray[np.float64]
    textured: NDArray[np.bool_]


def _tile_edges(length: int, n_tiles: int) -> NDArray[np.intp]:
    edges: NDArray[np.intp] = np.rint(np.linspace(0, length, n_tiles + 1)).astype(np.intp)
    return edges


def _energies(
    plane: NDArray[np.uint8], lag: int, spacing: int, n_rows: int, n_columns: int
) -> NDArray[np.float64]:
    """Mean energy of fine and coarse differences down the columns, (2, n_rows, n_columns).

    Every `spacing`-th column is read; what does not fill a tile at the edges is left out.
    """
    coarse = lag * COARSE_RATIO
    tile_height = (plane.shape[0] - coarse) // n_rows
    tile_width = plane.shape[1] // spacing // n_columns
    lines = plane[:, spacing // 2 :: spacing]
    left = (lines.shape[1] - tile_width * n_columns) // 2
    lines = lines[:, left : left + tile_width * n_columns].astype(np.float32)
    height = tile_height * n_rows
    first = (plane.shape[0] - height) // 2
    energies = np.empty((2, n_rows, n_columns))
    for k, span in enumerate((lag, coarse)):
        start = first - span // 2
        difference = lines[start + span : start + span + height] - lines[start : start + height]
        blocks = difference.reshape(n_rows, tile_height, n_columns, tile_width)
        energies[k] = np.einsum("rhcw,rhcw->rc", blocks, blocks)
    energies /= tile_height * tile_width
    return energies


def _noise_energy(fine: NDArray[np.float64], coarse: NDArray[np.float64]) -> float:
    """Energy that noise alone gives to a difference over any span."""
    white = (fine > WHITE_RATIO * coarse) & (coarse <= np.median(coarse))
    if white.any():
        return float(np.median(fine[white]))
    # Every tile has texture: noise is at most what a long ramp would leave of the fine energy.
    ramp = 1 / COARSE_RATIO**2
    return max(0.0, float(np.percentile((fine - ramp * coarse) / (1 - ramp), NOISE_PERCENTILE)))


def sharpness_map(detail: NDArray[np.uint8]) -> SharpnessMap:
    """Sharpness of (H, W, 3) uint8 sRGB pixels, tile by tile.

    Both sides are at least `SMALLEST_SIDE_PX`. Green alone is read: it holds most of the
    luminance and, behind a colour filter array, most of the detail.
    """
    height, width = detail.shape[:2]
    longest = max(height, width)
    n_rows = max(1, round(N_TILES_LONG_SIDE * height / longest))
    n_columns = max(1, round(N_TILES_LONG_SIDE * width / longest))
    lag = max(1, round(longest / REFERENCE_SIDE_PX))
    green = detail[..., 1]
    spacing = max(1, longest // LINES_LONG_SIDE)
    down = _energies(green, lag, spacing, n_rows, n_columns)
    across = _energies(
        np.ascontiguousarray(green[spacing // 2 :: spacing].T), lag, 1, n_columns, n_rows
    )
    fine, coarse = down + across.transpose(0, 2, 1)
    noise = _noise_energy(fine, coarse)
    # The noise of one tile strays from the frame's: what it may add by chance is taken off, too.
    n_samples = 2 * (height // n_rows) * (width // n_columns) / spacing
    chance = noise * CHANCE_DEVIATIONS * math.sqrt(2 / n_samples)
    clean_fine = np.maximum(fine - noise - chance, 0)
    clean_coarse = np.maximum(coarse - noise, 0)
    textured = (clean_coarse > 2 * TEXTURE_CODE_VALUES**2) & (
        clean_coarse > TEXTURE_OVER_NOISE * noise
    )
    ratio = np.sqrt(clean_fine / np.maximum(clean_coarse, 1e-9))
    # A step has 1/2, a ramp longer than the coarse span 1/4.
    lowest, highest = 1 / COARSE_RATIO, 1 / math.sqrt(COARSE_RATIO)
    sharpness = np.clip((ratio - lowest) / (highest - lowest), 0, 1)
    return SharpnessMap(sharpness, textured)


def _subject_tiles(mask: NDArray[np.bool_], n_rows: int, n_columns: int) -> NDArray[np.bool_]:
    """Tiles of which at least half lies on the subject; those it touches where none does."""
    padded = np.pad(np.cumsum(np.cumsum(mask, axis=0), axis=1), ((1, 0), (1, 0)))
    rows, columns = _tile_edges(mask.shape[0], n_rows), _tile_edges(mask.shape[1], n_columns)
    corners = padded[np.ix_(rows, columns)]
    covered = np.diff(np.diff(corners, axis=0), axis=1)
    areas = np.outer(np.diff(rows), np.diff(columns))
    share = covered / np.maximum(areas, 1)
    tiles: NDArray[np.bool_] = share >= 0.5
    return tiles if tiles.any() else share > 0


def _sharpest_at(tiles: SharpnessMap, best: float) -> Point:
    """Mean position of the tiles that are nearly as sharp as the frame's best."""
    sharp = tiles.textured & (tiles.sharpness >= NEARLY_BEST * best)
    rows, columns = np.nonzero(sharp)
    height, width = sharp.shape
    return Point(float(columns.mean() + 0.5) / width, float(rows.mean() + 0.5) / height)


def _confidence(ratio: float, n_tiles: int) -> float:
    """Probability that the verdict is right, from its distance to the limit and the evidence."""
    distance = abs(ratio - IN_FOCUS_RATIO) / UNSURE_RATIO
    evidence = n_tiles / (n_tiles + MIN_SUBJECT_TILES)
    return 0.5 + (BEST_CONFIDENCE - 0.5) * min(1.0, distance) * evidence


def measure_focus(detail: NDArray[np.uint8], subject_mask: NDArray[np.bool_]) -> Quantity[Focus]:
    """Measure sharpness in (H, W, 3) uint8 sRGB pixels; `subject_mask` (h, w) covers the frame.

    Returns
    -------
    Quantity of Focus
        Undetermined with `NO_SUBJECT` where the mask is empty, `TOO_SMALL`, or `NO_TEXTURE` where
        the subject is too smooth. The tolerance is that of the ratio of sharpness between subject
        and frame.
    """
    if not subject_mask.any():
        return Quantity.undetermined(Reason.NO_SUBJECT)
    if min(detail.shape[:2]) < SMALLEST_SIDE_PX:
        return Quantity.undetermined(Reason.TOO_SMALL)
    tiles = sharpness_map(detail)
    on_subject = _subject_tiles(subject_mask, *tiles.textured.shape) & tiles.textured
    n_tiles = int(on_subject.sum())
    if n_tiles < MIN_SUBJECT_TILES:
        return Quantity.undetermined(Reason.NO_TEXTURE)
    subject = float(np.percentile(tiles.sharpness[on_subject], SUBJECT_PERCENTILE))
    best = float(np.percentile(tiles.sharpness[tiles.textured], FRAME_PERCENTILE))
    ratio = subject / best if best > 0 else 0.0
    value = Focus(subject, _sharpest_at(tiles, best), ratio >= IN_FOCUS_RATIO)
    return Quantity.measured(value, confidence=_confidence(ratio, n_tiles), tolerance=UNSURE_RATIO)
