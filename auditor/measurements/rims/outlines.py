"""Rims proposed from the outline of a thing; they are refined to edges afterwards.

A plate's outline is its rim. The outline of a bowl or cup shows the far rim and the sides: the rim
is as wide as the thing and begins at its top or, if food rises above it, lies where the thing is
widest. Its axis ratio is unknown, so several are tried.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray
from scipy.ndimage import find_objects

from auditor.measurements.rims.ellipse_fit import fit_ellipses

Floats = NDArray[np.float64]
Labels = NDArray[np.integer]

# Sines of 5 to 72 degrees: refinement reaches a rim within a tenth of its width.
AXIS_RATIOS = np.array([0.08, 0.14, 0.22, 0.32, 0.44, 0.57, 0.7, 0.83, 0.95])
WIDEST = 0.97  # of the greatest width: a thing counts as widest from here on
MIN_SIDE_CELLS = 6  # of the map; a smaller thing has no useful outline
MAX_THINGS = 6  # the widest
N_POINTS = 48  # of an outline


def propose_rims(things: Labels, shape: tuple[int, int]) -> Floats:
    """Ellipses (K, 5) that may be rims, in pixels of a picture of the given height and width.

    Parameters
    ----------
    things : (h, w) integer array
        Label map of the things in the frame; 0 is none.
    shape : tuple of int
        Height and width of the picture in pixels.
    """
    windows = [
        (number, window)
        for number, window in enumerate(find_objects(things.astype(np.intp)), start=1)
        if window is not None
        and window[0].stop - window[0].start >= MIN_SIDE_CELLS
        and window[1].stop - window[1].start >= 2 * MIN_SIDE_CELLS
    ]
    windows.sort(key=lambda thing: thing[1][1].start - thing[1][1].stop)
    parts: list[Floats] = []
    bowls = [np.zeros((0, 5))]
    for number, window in windows[:MAX_THINGS]:
        mask = things[window] == number
        origin = np.array([window[1].start, window[0].start], dtype=float)
        parts += [part + origin for part in _parts(mask, origin, things.shape)]
        bowls.append(_bowls(mask) + np.array([*origin, 0, 0, 0]))
    fitted = fit_ellipses(np.stack(parts)) if parts else np.zeros((0, 5))
    ellipses = np.concatenate([fitted, *bowls])
    ellipses = ellipses[np.isfinite(ellipses).all(axis=1)]
    # Both sides are scaled by the same factor, to less than a cell.
    ellipses[:, 0] *= shape[1] / things.shape[1]
    ellipses[:, 1] *= shape[0] / things.shape[0]
    ellipses[:, 2:4] *= np.hypot(*shape) / np.hypot(*things.shape)
    return np.asarray(ellipses)


def _parts(mask: NDArray[np.bool_], origin: Floats, shape: tuple[int, ...]) -> list[Floats]:
    """Points along the whole outline and along its upper half, without the frame's edge."""
    points = _outline(mask)
    at = points + origin
    points = points[((at > 1) & (at < np.array(shape[::-1]) - 1)).all(axis=1)]
    if len(points) < N_POINTS // 3:
        return []
    upper = points[points[:, 1] < np.median(points[:, 1])]
    return [p[np.linspace(0, len(p) - 1, N_POINTS).astype(int)] for p in (points, upper) if len(p)]


def _outline(mask: NDArray[np.bool_]) -> Floats:
    """Points (N, 2) around a mask: the first and last cell of each row and of each column."""
    height, width = mask.shape
    rows, columns = np.nonzero(mask.any(axis=1))[0], np.nonzero(mask.any(axis=0))[0]
    left = mask[rows].argmax(axis=1)
    right = width - mask[rows, ::-1].argmax(axis=1)
    top = mask[:, columns].argmax(axis=0)
    bottom = height - mask[::-1, columns].argmax(axis=0)
    return np.concatenate(
        [
            np.stack([left, rows + 0.5], axis=1),
            np.stack([right, rows + 0.5], axis=1),
            np.stack([columns + 0.5, top], axis=1),
            np.stack([columns + 0.5, bottom], axis=1),
        ]
    ).astype(np.float64)


def _bowls(mask: NDArray[np.bool_]) -> Floats:
    """Level ellipses as wide as the thing: below its top, and centred where it is widest."""
    rows = np.nonzero(mask.any(axis=1))[0]
    left = mask[rows].argmax(axis=1)
    right = mask.shape[1] - mask[rows, ::-1].argmax(axis=1)
    extent = right - left
    first = int(np.argmax(extent >= WIDEST * extent.max()))
    a = np.full(AXIS_RATIOS.size, float(extent.max()) / 2)
    b = a * AXIS_RATIOS
    x = np.full_like(a, (left[first] + right[first]) / 2)
    level = np.zeros_like(a)
    return np.concatenate(
        [
            np.stack([x, b, a, b, level], axis=1),
            np.stack([x, np.full_like(a, rows[first] + 0.5), a, b, level], axis=1),
        ]
    )
