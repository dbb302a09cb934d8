"""Histograms of a picture's colours over the plane of neutrals: the input of the networks.

Several kinds of cells have histograms of their own, because they indicate the illuminant in
different ways. A colour cast shifts all histograms by the same vector. A network that searches them
for the neutral therefore only has to learn how the colours of things lie around it, not casts.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray
from scipy.ndimage import uniform_filter

from auditor.colorimetry import XYZ_FROM_LINEAR
from auditor.colour_signature.neutral_plane import Cells, plane_from_linear

Floats = NDArray[np.float64]

N_WARMTH_BINS, N_DUV_BINS = 96, 48
WARMTH_BIN_MIRED, DUV_BIN = 8.0, 0.0024
"""The histograms extend from -384 to 376 mired and from -0.058 to 0.055 in Duv, relative to D65."""

BRIGHTNESS_LIMITS = (0.15, 0.3, 0.6, 0.9)
"""Brightness, relative to the light tones, that separates five kinds of cells: porcelain and paper
are among the lightest, most food and wood among the darker ones."""

NEIGHBOURS = ((0, 1), (1, 0), (0, 2), (2, 0))
"""Offsets in rows and columns between the two cells of a difference."""

MIN_DIFFERENCE = 0.01
"""Difference in luminance, relative to the light tones, below which it is grain."""

DIFFERENCE_LIMITS = (0.15, 0.6)
"""Difference relative to the luminance of the darker cell: shading and weave are below the first
limit, gloss and the edges of light things above the second. Gloss adds the colour of the illuminant
to that of the thing (Shafer: Using color to separate reflection components, 1985)."""

HIGHLIGHT_CELLS, HIGHLIGHT_RATIO, HIGHLIGHT_BRIGHTNESS = 5, 1.5, 0.15
"""Side in cells of the square around a cell, ratio of luminance to the mean of that square, and
brightness above which the cell is a highlight or a small light thing."""

N_KINDS = len(BRIGHTNESS_LIMITS) + 1 + len(DIFFERENCE_LIMITS) + 1


def colour_histograms(cells: Cells, margin: tuple[int, int] = (0, 0)) -> NDArray[np.float32]:
    """Compute the histograms of a picture's usable cells.

    Parameters
    ----------
    cells : Cells
        With at least one usable cell.
    margin : tuple of int
        Additional bins of warmth and of Duv on each side; needed to simulate casts in training.

    Returns
    -------
    (N_KINDS, N_WARMTH_BINS, N_DUV_BINS) float32 array
        Cells of five brightnesses, from dark to light; small and large differences between
        neighbours, weighted by their luminance; highlights. All are divided by the number of usable
        cells. Colours outside the range are left out: they are saturated and carry little
        information about the illuminant.
    """
    band = np.digitize(cells.brightness, BRIGHTNESS_LIMITS)
    ones = np.ones(len(band))
    bands = [band == k for k in range(len(BRIGHTNESS_LIMITS) + 1)]
    chosen = [(cells.plane[inside], ones[inside]) for inside in bands]
    chosen += _differences(cells)
    highlight = _highlights(cells)
    chosen.append((cells.plane[highlight], ones[highlight]))
    kinds = [_histogram(plane, weight, margin) for plane, weight in chosen]
    return np.asarray(np.stack(kinds) / len(band), dtype=np.float32)


def _histogram(plane: Floats, weight: Floats, margin: tuple[int, int]) -> Floats:
    """Weighted histogram; each weight is distributed bilinearly over the four nearest bins."""
    n_rows, n_columns = N_WARMTH_BINS + 2 * margin[0], N_DUV_BINS + 2 * margin[1]
    x = plane[:, 0] / WARMTH_BIN_MIRED + n_rows // 2
    y = plane[:, 1] / DUV_BIN + n_columns // 2
    inside = (x >= 0) & (x < n_rows - 1) & (y >= 0) & (y < n_columns - 1)
    x, y, weight = x[inside], y[inside], weight[inside]
    row, column = x.astype(np.intp), y.astype(np.intp)
    x, y = x - row, y - column
    place = row * n_columns + column
    places = np.concatenate([place, place + 1, place + n_columns, place + n_columns + 1])
    shares = np.concatenate([(1 - x) * (1 - y), (1 - x) * y, x * (1 - y), x * y])
    flat = np.bincount(places, shares * np.tile(weight, 4), n_rows * n_columns)
    return np.asarray(flat.reshape(n_rows, n_columns))


def _differences(cells: Cells) -> list[tuple[Floats, Floats]]:
    """Position and weight of small and of large differences between neighbouring cells.

    A difference is what the lighter cell adds to the darker one; it counts if it is positive in all
    three channels.
    """
    reference, luminance = _reference(cells), cells.light @ XYZ_FROM_LINEAR[1]
    more, ratio = [], []
    for down, across in NEIGHBOURS:
        here = np.s_[: luminance.shape[0] - down, : luminance.shape[1] - across]
        there = np.s_[down:, across:]
        darker = np.minimum(luminance[here], luminance[there])
        step = luminance[there] - luminance[here]
        both = cells.usable[here] & cells.usable[there]
        both &= np.abs(step) > np.maximum(MIN_DIFFERENCE * reference, DIFFERENCE_LIMITS[0] * darker)
        chosen = np.flatnonzero(both)
        apart = cells.light[there].reshape(-1, 3).take(chosen, axis=0)
        apart -= cells.light[here].reshape(-1, 3).take(chosen, axis=0)
        apart *= np.sign(step[both])[:, np.newaxis]
        kept = np.flatnonzero((apart[:, 0] > 0) & (apart[:, 1] > 0) & (apart[:, 2] > 0))
        more.append(apart.take(kept, axis=0))
        ratio.append(np.abs(step[both][kept]) / darker[both][kept])
    light, ratios = np.concatenate(more), np.concatenate(ratio)
    plane, weight = plane_from_linear(light), light @ XYZ_FROM_LINEAR[1] / reference
    large = ratios > DIFFERENCE_LIMITS[1]
    sizes = (np.flatnonzero(~large), np.flatnonzero(large))
    return [(plane.take(chosen, axis=0), weight.take(chosen)) for chosen in sizes]


def _reference(cells: Cells) -> float:
    """Luminance of the light tones, to which brightness is relative."""
    first = np.unravel_index(int(np.argmax(cells.usable)), cells.usable.shape)
    return float(cells.light[first] @ XYZ_FROM_LINEAR[1]) / float(cells.brightness[0])


def _highlights(cells: Cells) -> NDArray[np.bool_]:
    """Mask over the usable cells of those much lighter than their surroundings."""
    luminance = cells.light @ XYZ_FROM_LINEAR[1]
    around = uniform_filter(luminance, HIGHLIGHT_CELLS)
    lighter = (luminance > HIGHLIGHT_RATIO * around)[cells.usable]
    return np.asarray(lighter & (cells.brightness > HIGHLIGHT_BRIGHTNESS))
