"""Which of many quadrilaterals are frames.

Left out are the edge of the sheet, what two neighbouring frames make together, and whatever stands
within a frame: the cells of its grid, a tray, a cloth. The frames remain.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray
from skimage.draw import polygon

from auditor.sketch.courses import Courses
from auditor.sketch.quadrilaterals import Quadrilateral

Floats = NDArray[np.float64]

# Two lines from side to side this close, as a share of what they cut, are the neighbouring sides
# of two frames; the lines of a grid stand at least 0.236 apart (golden ratio).
NEIGHBOURING = 0.20
# Lines closer than this share of a frame are one, drawn twice or wavering.
SAME_LINE = 0.025
LEAST_MISSING = 0.4  # share of that space that is not drawn, on one side at least
LEAST_SPACE = 0.015  # between two frames, as a share of the long side of the page
# Brightness or colour changes by this ratio (as a logarithm) where the sheet ends; light changes
# less over the width of the band on both sides of a line. Our choice, no source.
EDGE_STEP = 0.10
N_EDGE_SIDES = 3  # of four that must show the step; the fourth may be outside the picture
# The space between two frames, as shares of the long side of the page: how long it is at least, how
# far from its ends the lines may be that bound it, with overshooting corners; how far from a side
# a line may begin and how far it must lead inwards; and the share of a gap that they bound.
LEAST_GAP, AT_GAP, AT_SIDE, LEAST_INWARD = 0.010, 0.014, 0.03, 0.05
MOST_OF_GAP = 0.7
WEAK_EDGE_STEP, N_WEAK_SIDES = 0.05, 2  # where a quadrilateral stands inside
CLEAR_OF_EDGE = 0.015  # how far, as a share of the long side of the page
# Distances to both sides of a line at which paper is compared, in px of the reduced page: the step
# must be seen at both, so that the second stroke of a doubled line is none.
BESIDE_PX = (5, 12)
N_SAMPLES = 96
# Two frames may touch with their waver; more than this share of the smaller is inside.
OVERLAP = 0.08
# Resolution at which overlaps are measured, in px on the long side.
OVERLAP_SIDE_PX = 250
# How many quadrilaterals are looked at, best first: cells of the grids of six frames are some
# hundreds, and small ones change nothing.
MOST_LOOKED_AT = 2000


def select_frames(
    quadrilaterals: list[Quadrilateral],
    level: Courses,
    upright: Courses,
    page: NDArray[np.float32],
) -> list[Quadrilateral]:
    """The frames among quadrilaterals, best first.

    Parameters
    ----------
    quadrilaterals : list of Quadrilateral
        Best first.
    level, upright : Courses
        The long lines of the page; upright ones with x and y exchanged.
    page : (h, w, 3) float array
        The reduced page, sRGB in [0, 1].
    """
    looked_at = quadrilaterals[:MOST_LOOKED_AT]
    scale = OVERLAP_SIDE_PX / max(page.shape)
    shape = (int(page.shape[0] * scale) + 1, int(page.shape[1] * scale) + 1)
    taken = np.zeros(shape, dtype=bool)
    frames: list[Quadrilateral] = []
    corners = np.array([quad.corners for quad in looked_at]).reshape(-1, 4, 2)
    lines = (_ends(level), _ends(upright)[:, :, ::-1])
    for quad in looked_at:
        covered = _covered(quad.corners * scale, shape)
        if covered.sum() == 0 or (covered & taken).sum() > OVERLAP * covered.sum():
            continue
        if (
            _is_made_of_frames(quad, corners, max(page.shape))
            or _reaches_over_a_space(quad, lines, max(page.shape))
            or _is_sheet(quad.corners, corners, page)
        ):
            continue
        frames.append(quad)
        taken |= covered
    return frames


def _covered(corners: Floats, shape: tuple[int, int]) -> NDArray[np.bool_]:
    mask = np.zeros(shape, dtype=bool)
    mask[polygon(corners[:, 1], corners[:, 0], shape)] = True
    return mask


def _is_sheet(corners: Floats, others: Floats, page: NDArray[np.float32]) -> bool:
    """True if the paper ends at the sides.

    The edge of a sheet on a desk as bright as itself shows on the side of its shadow alone; then
    what is drawn inside decides.
    """
    steps = np.array([_step(corners[index], corners[(index + 1) % 4], page) for index in range(4)])
    if (steps >= EDGE_STEP).sum() >= N_EDGE_SIDES:
        return True
    return bool((steps >= WEAK_EDGE_STEP).sum() >= N_WEAK_SIDES) and _contains_one(
        corners, others, CLEAR_OF_EDGE * max(page.shape)
    )


def _contains_one(corners: Floats, others: Floats, margin: float) -> bool:
    """True if a quadrilateral stands inside, clear of all sides."""
    depth = np.full(others.shape[:2], np.inf)
    for start, end in zip(corners, np.roll(corners, -1, axis=0), strict=True):
        along = (end - start) / np.hypot(*(end - start))
        offset = others - start
        depth = np.minimum(depth, offset[..., 1] * along[0] - offset[..., 0] * along[1])
    return bool((depth.min(axis=1) >= margin).any())


def _step(start: Floats, end: Floats, page: NDArray[np.float32]) -> float:
    """Change of brightness or colour across a line, as a logarithm."""
    share = ((np.arange(N_SAMPLES) + 0.5) / N_SAMPLES)[:, None]
    places = start + (end - start) * share
    along = (end - start) / max(float(np.hypot(*(end - start))), 1e-9)
    across = np.array([-along[1], along[0]])
    steps = []
    for apart in BESIDE_PX:
        values = []
        for at in (places + apart * across, places - apart * across):
            columns = np.clip(at[:, 0].astype(np.intp), 0, page.shape[1] - 1)
            rows = np.clip(at[:, 1].astype(np.intp), 0, page.shape[0] - 1)
            values.append(np.log(page[rows, columns] + 0.02))
        steps.append(float(np.abs(np.median(values[0] - values[1], axis=0)).max()))
    return min(steps)


def _ends(lines: Courses) -> Floats:
    """(n, 2, 2): x and y of both ends."""
    ends = np.stack([lines.start, lines.end], axis=1)
    places = np.clip(ends, 0, lines.y.shape[1] - 1).astype(np.intp)
    return np.stack([ends, np.take_along_axis(lines.y, places, axis=1)], axis=2)


def _reaches_over_a_space(quad: Quadrilateral, lines: tuple[Floats, Floats], side: int) -> bool:
    """True if a side has a gap between two lines that start there inwards.

    Such a gap is the space between two frames. One of the lines may be a side of the
    quadrilateral.
    """
    for index, gaps in enumerate(quad.gaps):
        start, end = quad.corners[index], quad.corners[(index + 1) % 4]
        length = float(np.hypot(*(end - start)))
        wide = [gap for gap in gaps if (gap[1] - gap[0]) * length >= LEAST_GAP * side]
        if not wide:
            continue
        places = _inward_lines(start, end, lines[1 - index % 2], side)
        places = np.concatenate([places, [0.0, length]])
        for gap in wide:
            first, last = gap[0] * length, gap[1] * length
            before = places[np.abs(places - first) <= AT_GAP * side]
            after = places[np.abs(places - last) <= AT_GAP * side]
            apart = after[None, :] - before[:, None]
            if (apart >= max(LEAST_GAP * side, MOST_OF_GAP * (last - first))).any():
                return True
    return False


def _inward_lines(start: Floats, end: Floats, lines: Floats, side: int) -> Floats:
    """Where along a side lines begin that lead inwards, in px from its start."""
    along = (end - start) / np.hypot(*(end - start))
    inward = np.array([-along[1], along[0]])
    if not len(lines):
        return np.empty(0)
    depth = (lines - start) @ inward
    order = np.argsort(depth, axis=1)
    ordered = np.take_along_axis(lines, order[..., None], axis=1)
    shallow, deep = np.take_along_axis(depth, order, axis=1).T
    begins = (shallow <= AT_SIDE * side) & (deep >= LEAST_INWARD * side)
    share = -shallow / np.maximum(deep - shallow, 1e-9)
    at = ordered[:, 0] + (ordered[:, 1] - ordered[:, 0]) * share[:, None]
    return np.asarray(((at - start) @ along)[begins])


def _is_made_of_frames(quad: Quadrilateral, others: Floats, side: int) -> bool:
    """True if two quadrilaterals inside share three of its sides each and stand apart."""
    for turn in (0, 1):  # beside each other, one above the other
        turned = np.roll(quad.corners, -turn, axis=0)
        gaps = quad.gaps[turn], tuple((1 - end, 1 - start) for start, end in quad.gaps[turn + 2])
        for start, end in _spaces(turned, np.roll(others, -turn, axis=1), LEAST_SPACE * side):
            if any(_missing(gap, start, end) >= LEAST_MISSING for gap in gaps):
                return True
    return False


def _missing(gaps: tuple[tuple[float, float], ...], start: float, end: float) -> float:
    """Share of a part of a side that is not drawn."""
    overlaps = (max(0.0, min(end, last) - max(start, first)) for first, last in gaps)
    return sum(overlaps) / (end - start)


def _spaces(corners: Floats, others: Floats, least_px: float) -> list[tuple[float, float]]:
    """Where quadrilaterals that share the start and the end of another leave spaces."""
    first, second, third, fourth = corners
    width = float(np.hypot(*((second + third) / 2 - (first + fourth) / 2)))
    along = ((second + third) / 2 - (first + fourth) / 2) / width
    near = SAME_LINE * float(np.hypot(*(third - first)))
    within = (_distance(others[:, :2], first, second).max(axis=1) < near) & (
        _distance(others[:, 2:], third, fourth).max(axis=1) < near
    )
    places = ((others - (first + fourth) / 2) @ along) / width
    starts, ends = (places[:, 0] + places[:, 3]) / 2, (places[:, 1] + places[:, 2]) / 2
    left = np.unique(ends[within & (np.abs(starts) < SAME_LINE) & (ends < 1 - NEIGHBOURING)])
    right = np.unique(starts[within & (np.abs(ends - 1) < SAME_LINE) & (starts > NEIGHBOURING)])
    between = right[None, :] - left[:, None]
    apart = (between * width > least_px) & (between < NEIGHBOURING)
    return [(float(left[i]), float(right[j])) for i, j in zip(*apart.nonzero(), strict=True)]


def _distance(points: Floats, start: Floats, end: Floats) -> Floats:
    """Distance of points from the line through two others."""
    along = (end - start) / np.hypot(*(end - start))
    offset = points - start
    return np.asarray(np.abs(offset[..., 0] * along[1] - offset[..., 1] * along[0]))
