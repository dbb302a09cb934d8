"""Supporting elements on an open arc around the subject or in a bent row that ends at it.

A few things always lie near some curve by chance, so all things large enough to count must lie on
it, evenly spaced. Where at least five lie on it, one other may lie elsewhere: with that, 2 % of 6
things placed at random lie on a curve.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from auditor.geometry import Point, Region, diagonal_px, distance_fraction
from auditor.measurements.leading_lines.leading import Kind, LeadingLines

Floats = NDArray[np.float64]

MIN_AREA_FRACTION = 0.002  # of the frame; smaller things are no accent
MIN_N_THINGS = 4  # besides the subject: any three lie on a circle
MAX_N_THINGS = 12  # more are a pattern
MIN_N_BESIDE_STRAY = 5  # things on a curve beside which one stray is ignored
MIN_STRAY_FRACTION = 0.06  # of the diagonal, from the things' path to a stray; nearer, it is on it
MAX_RESIDUAL_FRACTION = 0.02  # of the diagonal, off the arc: a fifth of a cup's width
MAX_SUBJECT_FRACTION = 0.35  # of the frame: a larger subject leaves no room for a curve
RADII_FRACTION = (0.1, 0.6)  # of the diagonal: a smaller arc is the dish's own, a larger one a row
MAX_OFF_CENTRE = 0.4  # of the radius: distance of the subject from the centre of its arc
MIN_SPAN_DEG, MIN_OPEN_DEG = 100.0, 60.0  # a shorter arc is a bent row, a narrower opening a ring
MIN_OPEN_RATIO = 1.5  # opening to longest step: with a smaller ratio it is a ring
MAX_STEP_DEG = 75.0  # between neighbours on an arc; further apart they do not look connected
MIN_ROW_FRACTION = 0.4  # of the diagonal, from the first thing to the subject
MIN_EVENNESS = 0.4  # shortest step to longest
MAX_TURN_DEG = 65.0  # from one step to the next; a sharper turn is a corner
MIN_BEND_DEG = 25.0  # total turn one way; less looks straight


def curve_of_things(
    subject: Region, elements: Sequence[Region], width: float, height: float
) -> LeadingLines | None:
    """Find the curve on which the elements lie; None for most pictures.

    Parameters
    ----------
    subject : Region
    elements : sequence of Region
    width, height : float
        Of the frame; only their ratio matters.
    """
    counted = [e.centroid for e in elements if e.area_fraction >= MIN_AREA_FRACTION]
    has_room = subject.area_fraction <= MAX_SUBJECT_FRACTION
    if not (has_room and MIN_N_THINGS <= len(counted) <= MAX_N_THINGS):
        return None
    frame = np.array([width, height]) / diagonal_px(width, height)
    things, middle = np.array(counted) * frame, np.array(subject.centroid) * frame
    curve = _arc_around(things, middle) or _row_to(things, middle) or _but_one(things, middle)
    if curve is None:
        return None
    path = tuple(counted[place] for place in curve.order)
    leads_to = path[-1] if curve.centre is None else Point(*(curve.centre / frame).tolist())
    return LeadingLines(
        curve.kind,
        leads_to,
        distance_fraction(leads_to, subject.centroid, width, height),
        curve.strength,
        (path,),
    )


@dataclass(frozen=True, slots=True)
class _Curve:
    """A curve through all things, in `order`; `centre` is set for an arc around the subject."""

    kind: Kind
    strength: float
    order: list[int]
    centre: Floats | None = None


def _but_one(things: Floats, middle: Floats) -> _Curve | None:
    """A curve through all things but one, which lies away from it."""
    if len(things) <= MIN_N_BESIDE_STRAY:
        return None
    for stray in range(len(things)):
        others = np.delete(np.arange(len(things)), stray)
        curve = _arc_around(things[others], middle) or _row_to(things[others], middle)
        if curve is None:
            continue
        order = others[curve.order]
        path = things[order]
        if curve.centre is not None:  # an arc closed to a ring
            radius = float(np.linalg.norm(path - curve.centre, axis=1).mean())
            away = abs(float(np.linalg.norm(things[stray] - curve.centre)) - radius)
        else:
            away = _distance_to_path(things[stray], np.vstack([path, middle]))
        if away >= MIN_STRAY_FRACTION:
            return replace(curve, order=order.tolist())
    return None


def _distance_to_path(position: Floats, path: Floats) -> float:
    """Distance from a position to a polyline that goes on straight before its first point."""
    starts = np.vstack([2 * path[0] - path[1], path[:-1]])
    steps = np.vstack([path[:1], path[1:]]) - starts
    share = np.clip(((position - starts) * steps).sum(axis=1) / (steps**2).sum(axis=1), 0, 1)
    return float(np.linalg.norm(starts + share[:, np.newaxis] * steps - position, axis=1).min())


def _arc_around(things: Floats, middle: Floats) -> _Curve | None:
    """An open circular arc through the things, around the subject."""
    circle = _circle(things)
    if circle is None:
        return None
    centre, radius = circle
    residual = float(np.abs(np.linalg.norm(things - centre, axis=1) - radius).max())
    off_centre = float(np.linalg.norm(middle - centre))
    if not RADII_FRACTION[0] <= radius <= RADII_FRACTION[1]:
        return None
    if residual > MAX_RESIDUAL_FRACTION or off_centre > MAX_OFF_CENTRE * radius:
        return None
    bearings = np.degrees(np.arctan2(things[:, 1] - centre[1], things[:, 0] - centre[0]))
    order = np.argsort(bearings, kind="stable")
    gaps = np.mod(np.roll(bearings[order], -1) - bearings[order], 360)
    opening = int(gaps.argmax())
    steps = np.delete(gaps, opening)
    if steps.sum() < MIN_SPAN_DEG or steps.max() > MAX_STEP_DEG:
        return None
    if gaps[opening] < max(MIN_OPEN_DEG, MIN_OPEN_RATIO * steps.max()):
        return None
    from_the_opening = np.roll(order, -opening - 1).tolist()
    return _Curve("arc", 1 - residual / MAX_RESIDUAL_FRACTION, from_the_opening, centre)


def _circle(points: Floats) -> tuple[Floats, float] | None:
    """Centre and radius by algebraic least squares (Kasa 1976); None for points on a line."""
    system = np.column_stack([2 * points, np.ones(len(points))])
    if np.linalg.matrix_rank(system) < 3:
        return None
    solved = np.linalg.lstsq(system, (points**2).sum(axis=1), rcond=None)[0]
    centre = solved[:2]
    return centre, math.sqrt(max(float(solved[2] + centre @ centre), 0.0))


def _row_to(things: Floats, middle: Floats) -> _Curve | None:
    """A bent row that ends at the subject."""
    order = _order_towards(things, middle)
    steps = np.diff(np.vstack([things[order], middle]), axis=0)
    lengths = np.linalg.norm(steps, axis=1)
    evenness = float(lengths.min() / lengths.max())
    if lengths.sum() < MIN_ROW_FRACTION or evenness < MIN_EVENNESS:
        return None
    headings = np.degrees(np.arctan2(steps[:, 1], steps[:, 0]))
    turns = np.mod(np.diff(headings) + 180, 360) - 180
    bends = _bends(turns)
    if np.abs(turns).max() > MAX_TURN_DEG or min(abs(bend) for bend in bends) < MIN_BEND_DEG:
        return None
    kinds: dict[int, Kind] = {1: "arc", 2: "S-curve"}
    kind = kinds.get(len(bends))
    return None if kind is None else _Curve(kind, evenness, order)


def _order_towards(things: Floats, middle: Floats) -> list[int]:
    """Order things towards a position, built backwards: each time the nearest one left."""
    order: list[int] = []
    at, left = middle, list(range(len(things)))
    while left:
        nearest = min(left, key=lambda i: float(np.linalg.norm(things[i] - at)))
        left.remove(nearest)
        order.insert(0, nearest)
        at = things[nearest]
    return order


def _bends(turns: Floats) -> list[float]:
    """Sum consecutive turns of the same sign."""
    bends: list[float] = []
    for turn in turns.tolist():
        if bends and turn * bends[-1] >= 0:
            bends[-1] += turn
        else:
            bends.append(turn)
    return bends
