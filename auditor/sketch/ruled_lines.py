"""Long lines drawn by hand along a known course, traced.

A line is asked for by its ends; what was drawn near it is found as the cheapest path through the
strip of ink along it, then once more in a narrow strip along the straight line through that path.
Positions are x and y of the canvas in px.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy import ndimage

from auditor.sketch.canvas import Mask

Floats = NDArray[np.float64]

N_STEPS = 240  # samples along a line; about two px each
NARROW_PX = 7  # half width of the second strip: how far a hand wobbles about its own line
SIDESTEP_COST = 0.35  # of one px sideways between samples, in missing samples
OUTER_SHARE = 0.16  # of a line at each of its ends
N_FIT_ROUNDS = 3
OUTLIER_PX = 4.0


@dataclass(frozen=True, slots=True, eq=False)
class TracedLine:
    """A line as it was drawn.

    Attributes
    ----------
    path : (N_STEPS, 2) float array
    coverage : float
        Share of it that has ink, in [0, 1].
    outer_coverage : float
        The same for the worse of its two outer parts.
    spread_px : float
        Standard deviation of the inked path about the straight line.
    """

    path: Floats
    coverage: float
    outer_coverage: float
    spread_px: float


def trace_lines(ink: Mask, ends: Floats, corridor_px: float) -> list[TracedLine]:
    """Trace what was drawn along each of L lines.

    Parameters
    ----------
    ink : (h, w) bool array
    ends : (L, 2, 2) float array
        First and last point of each line.
    corridor_px : float
        How far off it may have been drawn.
    """
    thick = ndimage.binary_dilation(ink, np.ones((3, 3)))
    paths, inked = _cheapest_paths(thick, ends, round(corridor_px))
    straight = np.stack([_fitted(p, i, e) for p, i, e in zip(paths, inked, ends, strict=True)])
    paths, inked = _cheapest_paths(thick, straight, NARROW_PX)
    return [_traced(p, i) for p, i in zip(paths, inked, strict=True)]


def _strips(ink: Mask, ends: Floats, half: int) -> tuple[Mask, Floats, Floats]:
    """Ink (L, N_STEPS, 2 half + 1) beside each line, with points and normals (L, ..., 2)."""
    along = (np.arange(N_STEPS) + 0.5) / N_STEPS
    a, b = ends[:, None, 0], ends[:, None, 1]
    points = a + along[None, :, None] * (b - a)
    direction = (b - a) / np.maximum(np.linalg.norm(b - a, axis=-1, keepdims=True), 1e-9)
    normals = np.stack([-direction[..., 1], direction[..., 0]], axis=-1)
    offsets = np.arange(-half, half + 1)
    places = points[:, :, None] + offsets[None, None, :, None] * normals[:, :, None]
    return _ink_at(ink, places), points, normals


def _ink_at(ink: Mask, places: Floats) -> Mask:
    height, width = ink.shape
    columns = np.floor(places[..., 0]).astype(np.intp)
    rows = np.floor(places[..., 1]).astype(np.intp)
    within = (columns >= 0) & (columns < width) & (rows >= 0) & (rows < height)
    return np.asarray(ink[rows.clip(0, height - 1), columns.clip(0, width - 1)] & within)


def _cheapest_paths(ink: Mask, ends: Floats, half: int) -> tuple[Floats, Mask]:
    """The path (L, N_STEPS, 2) through each strip that misses least ink, and where it has ink."""
    strips, points, normals = _strips(ink, ends, half)
    n_lines, n_steps, n_offsets = strips.shape
    missing = (~strips).astype(float)
    total = missing[:, 0]
    came_from = np.zeros(strips.shape, dtype=np.int8)
    for step in range(1, n_steps):
        padded = np.pad(total, ((0, 0), (1, 1)), constant_values=np.inf)
        choices = np.stack([padded[:, :-2] + SIDESTEP_COST, total, padded[:, 2:] + SIDESTEP_COST])
        came_from[:, step] = choices.argmin(axis=0) - 1
        total = choices.min(axis=0) + missing[:, step]
    lines = np.arange(n_lines)
    # Among equally cheap ends the one in the middle of the pen's width is meant.
    best = total + 1e-3 * np.abs(np.arange(n_offsets) - half)
    at = best.argmin(axis=1)
    offsets = np.zeros((n_lines, n_steps), dtype=np.intp)
    for step in range(n_steps - 1, -1, -1):
        offsets[:, step] = at
        at = at + came_from[lines, step, at]
    inked = np.take_along_axis(strips, offsets[:, :, None], axis=2)[..., 0]
    return points + (offsets - half)[..., None] * normals, inked


def _fitted(path: Floats, inked: Mask, ends: Floats) -> Floats:
    """Ends of the straight line through the inked part of a path; as asked for without ink."""
    a, b = ends
    direction = (b - a) / max(float(np.linalg.norm(b - a)), 1e-9)
    normal = np.array([-direction[1], direction[0]])
    along, across = (path - a) @ direction, (path - a) @ normal
    used = inked.copy()
    slope, shift = 0.0, 0.0
    for _ in range(N_FIT_ROUNDS):
        if used.sum() < N_STEPS // 8:
            return ends
        slope, shift = np.polyfit(along[used], across[used], 1)
        used = inked & (np.abs(across - slope * along - shift) < OUTLIER_PX)
    length = float(np.linalg.norm(b - a))
    return np.stack([a + shift * normal, b + (slope * length + shift) * normal])


def _traced(path: Floats, inked: Mask) -> TracedLine:
    outer = max(1, round(OUTER_SHARE * N_STEPS))
    straight = path[0] + np.linspace(0, 1, N_STEPS)[:, None] * (path[-1] - path[0])
    off = np.linalg.norm(path - straight, axis=1)[inked]
    return TracedLine(
        path,
        float(inked.mean()),
        float(min(inked[:outer].mean(), inked[-outer:].mean())),
        float(off.std()) if off.size else 0.0,
    )
