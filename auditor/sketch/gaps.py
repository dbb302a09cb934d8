"""Gaps that a hand left open in its outlines, or that a line taken away has left: closed."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence

import numpy as np
from numpy.typing import NDArray
from PIL import Image, ImageDraw
from scipy import ndimage

from auditor.sketch.canvas import Mask
from auditor.sketch.strokes import Stroke

Floats = NDArray[np.float64]
End = tuple[int, bool, Floats, Floats]  # stroke, whether its last end, position, direction

# Ends this near to each other meet, whatever their directions; as shares of the frame's diagonal
# (our choice: twice the pen's width).
MEET = 0.016
# Ends that lead to each other meet over this distance, and no farther than this share of the
# shorter stroke.
REACH, REACH_OF_STROKE = 0.09, 0.9
MOST_TURN_DEG = 60.0  # of either end towards the other
# The ends of one stroke meet over this share of its length: an outline almost closed.
OWN_REACH_OF_STROKE = 0.22
# Over a line taken away: how near to it an end lies, how far on it goes (a stroke may run along the
# line for a while), and with which turn; how much of a bridge lies on the line.
RIM_PX = 4
BRIDGE_REACH, MOST_BRIDGE_TURN_DEG, SHORT_BRIDGE_PX = 0.1, 45.0, 9.0
LEAST_BRIDGE_WITHIN = 0.75


def links(strokes: Sequence[Stroke], diagonal: float) -> list[Floats]:
    """Straight pieces (2, 2) that close the gaps between ends of strokes, each end used once.

    Parameters
    ----------
    strokes : sequence of Stroke
    diagonal : float
        Of the frame, in px.
    """
    ends = _free_ends(strokes)
    reach = _longest_reach(strokes, diagonal)
    return _cheapest(ends, reach, lambda a, b: _cost(strokes, a, b, diagonal))


def bridges(strokes: Sequence[Stroke], taken: Mask, diagonal: float) -> list[Floats]:
    """Straight pieces (2, 2) that carry strokes on over a line that was taken away.

    Parameters
    ----------
    strokes : sequence of Stroke
    taken : (h, w) bool array
        Ink of the lines taken away.
    diagonal : float
        Of the frame, in px.
    """
    gap = ndimage.binary_dilation(taken, np.ones((3, 3)), iterations=RIM_PX)
    ends = [end for end in _free_ends(strokes) if gap[int(end[2][1]), int(end[2][0])]]

    def cost(a: End, b: End) -> float | None:
        step = b[2] - a[2]
        distance = float(np.linalg.norm(step))
        if a[0] == b[0] or distance < 1:
            return None
        turn = max(_angle_deg(a[3], step), _angle_deg(b[3], -step))
        if turn > MOST_BRIDGE_TURN_DEG and distance > SHORT_BRIDGE_PX:
            return None
        between = a[2] + np.linspace(0, 1, 12)[:, None] * step
        within = gap[between[:, 1].astype(np.intp), between[:, 0].astype(np.intp)]
        if within.mean() < LEAST_BRIDGE_WITHIN:
            return None
        return distance * (1 + turn / 30)

    return _cheapest(ends, BRIDGE_REACH * diagonal, cost)


def _free_ends(strokes: Sequence[Stroke]) -> list[End]:
    return [(i, last, *stroke.end(last)) for i, stroke in enumerate(strokes)
            for last in (False, True) if stroke.free[last]]  # fmt: skip


def _cheapest(
    ends: list[End], reach: float, cost_of: Callable[[End, End], float | None]
) -> list[Floats]:
    """The cheapest pairs of ends, each end used once."""
    if len(ends) < 2:
        return []
    at = np.array([end[2] for end in ends])
    distances = np.linalg.norm(at[:, None] - at[None], axis=-1)
    choices = []
    for a, b in np.argwhere(np.triu(distances < reach, k=1)):
        cost = cost_of(ends[a], ends[b])
        if cost is not None:
            choices.append((cost, int(a), int(b)))
    used: set[int] = set()
    chosen = []
    for _, a, b in sorted(choices):
        if a not in used and b not in used:
            used |= {a, b}
            chosen.append(np.stack([at[a], at[b]]))
    return chosen


def _longest_reach(strokes: Sequence[Stroke], diagonal: float) -> float:
    longest = max((stroke.length for stroke in strokes), default=0.0)
    return max(REACH * diagonal, OWN_REACH_OF_STROKE * longest)


def _cost(strokes: Sequence[Stroke], a: End, b: End, diagonal: float) -> float | None:
    """Length of a link, more where it turns; None where the ends do not belong together."""
    step = b[2] - a[2]
    distance = float(np.linalg.norm(step))
    if a[0] == b[0]:
        return distance if distance < OWN_REACH_OF_STROKE * strokes[a[0]].length else None
    if distance < 1:
        return distance
    turn = max(_angle_deg(a[3], step), _angle_deg(b[3], -step))
    if distance < MEET * diagonal:
        return distance * (1 + turn / 180)
    shorter = min(strokes[a[0]].length, strokes[b[0]].length)
    if turn > MOST_TURN_DEG or distance > min(REACH * diagonal, REACH_OF_STROKE * shorter):
        return None
    return distance * (1 + turn / 30)


def _angle_deg(unit: Floats, other: Floats) -> float:
    cosine = float(unit @ other) / max(float(np.linalg.norm(other)), 1e-9)
    return math.degrees(math.acos(min(1.0, max(-1.0, cosine))))


def with_links(ink: Mask, chosen: Sequence[Floats], pen_px: int = 2) -> Mask:
    """The ink with links drawn in."""
    image = Image.fromarray(ink.astype(np.uint8) * 255)
    pencil = ImageDraw.Draw(image)
    for a, b in chosen:
        pencil.line([tuple(a - 0.5), tuple(b - 0.5)], fill=255, width=pen_px)
    return np.asarray(image) > 0
