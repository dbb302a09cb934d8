"""What the sharpness of the tiles shows about subject and frame."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from auditor.colorimetry import on_grid
from auditor.measurements.focus.motion_blur import motion_blur
from auditor.measurements.focus.sharpness import SharpnessMap

SUBJECT_PERCENTILE = 90.0
"""The subject is as sharp as its sharpest tenth: shallow depth of field is often intended."""

ELSEWHERE_PERCENTILE = 95.0
"""The sharpest part of the rest, without accidental outliers."""

SHARP_ENOUGH = 0.8
"""Sharpness above which nothing looks sharper: a glazed pot has softer edges than a woven cloth."""

SOFTER_RATIO = 0.5
"""Sharpness relative to the subject's below which a tile elsewhere is soft."""

ON_SUBJECT_SHARE = 0.5
"""Share of a tile covered by the subject from which the tile counts to it."""

SAMPLES_ALONG_TILE = 8
"""Samples of the mask along a tile's side; they give its share to a sixteenth."""

MIN_TILES_ELSEWHERE = 8
"""Textured tiles elsewhere below which there is nothing to compare the subject with."""


@dataclass(frozen=True, slots=True)
class Evidence:
    """Summary of the sharpness map, from which focus and cause are judged.

    Attributes
    ----------
    subject, elsewhere : float
        Sharpness of the subject and of the rest, in [0, 1]; `elsewhere` is 0 if there are too few
        tiles to compare with.
    soft_share : float or None
        Share of the textured tiles elsewhere that are soft relative to the subject; None if there
        are too few.
    motion_blur : float
        Result of `motion_blur` on the subject. A moved camera blurs the subject, too. The rest of
        the frame is not used because boards have grain and cloths have a weave.
    n_tiles : int
        Textured tiles on the subject.
    longest_px : int
        Longest side of the picture.
    """

    subject: float
    elsewhere: float
    soft_share: float | None
    motion_blur: float
    n_tiles: int
    longest_px: int


def evidence_of(tiles: SharpnessMap, on_subject: NDArray[np.bool_], longest_px: int) -> Evidence:
    """Summarise a sharpness map.

    Parameters
    ----------
    tiles : SharpnessMap
    on_subject : (rows, columns) bool array
        Tiles of the subject; at least one of them is textured.
    longest_px : int
        Longest side of the picture.
    """
    subject = tiles.sharpness[on_subject & tiles.textured]
    elsewhere = tiles.sharpness[~on_subject & tiles.textured]
    sharpness = float(np.percentile(subject, SUBJECT_PERCENTILE))
    comparable = elsewhere.size >= MIN_TILES_ELSEWHERE
    soft = elsewhere < SOFTER_RATIO * min(sharpness, SHARP_ENOUGH)
    return Evidence(
        subject=sharpness,
        elsewhere=float(np.percentile(elsewhere, ELSEWHERE_PERCENTILE)) if comparable else 0.0,
        soft_share=float(soft.mean()) if comparable else None,
        motion_blur=motion_blur(tiles, on_subject),
        n_tiles=int(subject.size),
        longest_px=longest_px,
    )


def subject_tiles(mask: NDArray[np.bool_], n_rows: int, n_columns: int) -> NDArray[np.bool_]:
    """Find the tiles of the subject.

    Parameters
    ----------
    mask : (h, w) bool array
        Of the subject, covering the frame.
    n_rows, n_columns : int
        Tiles in the frame.

    Returns
    -------
    (n_rows, n_columns) bool array
        Tiles of which at least half lies on the subject; if there are none, those that it touches.
    """
    share = _share(mask, n_rows, n_columns)
    tiles: NDArray[np.bool_] = share >= ON_SUBJECT_SHARE
    return tiles if tiles.any() else share > 0


def touched_tiles(mask: NDArray[np.bool_], n_rows: int, n_columns: int) -> NDArray[np.bool_]:
    """Find the tiles that a mask touches, as (n_rows, n_columns) bool array."""
    touched: NDArray[np.bool_] = _share(mask, n_rows, n_columns) > 0
    return touched


def _share(mask: NDArray[np.bool_], n_rows: int, n_columns: int) -> NDArray[np.float64]:
    """Share of each tile that a mask covers."""
    n = SAMPLES_ALONG_TILE
    samples = on_grid(mask, n_rows * n, n_columns * n).reshape(n_rows, n, n_columns, n)
    share: NDArray[np.float64] = samples.mean(axis=(1, 3))
    return share
