"""Lines of the techniques, the dominant diagonal, and the side that stays empty."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from itertools import pairwise

from auditor.geometry import Point
from auditor.page.drawing.layers import Frame
from auditor.page.drawing.shapes import line_across
from auditor.plan.shot_plan import Intent
from auditor.plan_sheet.drawing import Line, Points, Role
from auditor.plan_sheet.polygons import is_inside, outside_of
from auditor.plan_sheet.things import Thing
from auditor.technique_lines import technique_lines
from auditor.vocabulary.sides import sides_of_planned
from auditor.vocabulary.techniques import INNER_FRAME, TECHNIQUES, TRIANGLE

# The inner frame is drawn around the middle, at these shares of the sides from the edges: the plan
# does not say where it is (our choice, no source).
INNER_FRAME_INSET = 0.14
INNER_FRAME_ARM = 0.11  # of its corners, of the frame's longer side
N_OF_TRIANGLE = 3
N_OF_LINE = 2
N_SMOOTHINGS = 2
# A triangle without things of its own: apex and base, as fractions of the frame.
PLAIN_TRIANGLE = (Point(0.5, 0.2), Point(0.85, 0.8), Point(0.15, 0.8))
CUT_STEP = 2.0  # lines that end before things end to this accuracy
DIAGONAL_INSET = 25.0  # of its ends
ROOM = 24.0  # between the end of a line and a thing

# Dots along the empty side; three rows are seen as an area, and hide little of a live view.
DOT_SPACING, N_DOT_ROWS = 18.0, 3
# Multiples of these, without their whole part, are spread evenly and without a pattern (Roberts's
# generalisation of the golden ratio to two dimensions; its powers, from memory).
SPREAD_ALONG, SPREAD_ACROSS = 0.7548776662, 0.5698402910


def drawn_technique(intent: Intent) -> str | None:
    """The first planned technique that has lines."""
    return next((one for one in intent.techniques if one in TECHNIQUES), None)


def grid_lines(intent: Intent, things: Sequence[Thing], frame: Frame) -> tuple[Line, ...]:
    """The lines of the technique; of several the first one's."""
    technique = drawn_technique(intent)
    if technique is None:
        return ()
    if technique == TRIANGLE:
        return _triangle(things, frame)
    if technique == INNER_FRAME:
        return _inner_frame(frame)
    near = next((thing.centre for thing in things if thing.name is None), None)
    lines = technique_lines(technique, frame.width, frame.height, near)
    return tuple(Line(_smooth(points), Role.GRID) for points in lines)


def _smooth(points: Points) -> Points:
    """A curve without its corners; a straight line as it is (Chaikin 1974)."""
    for _ in range(N_SMOOTHINGS if len(points) > N_OF_LINE else 0):
        cut = [
            Point(a.x + share * (b.x - a.x), a.y + share * (b.y - a.y))
            for a, b in pairwise(points)
            for share in (0.25, 0.75)
        ]
        points = (points[0], *cut, points[-1])
    return points


def _triangle(things: Sequence[Thing], frame: Frame) -> tuple[Line, ...]:
    """Through the first three things, or upright and dashed where there are fewer."""
    corners = tuple(thing.centre for thing in things[:N_OF_TRIANGLE])
    is_assumed = len(corners) < N_OF_TRIANGLE
    if is_assumed:
        corners = tuple(frame.point(corner) for corner in PLAIN_TRIANGLE)
    sides = zip(corners, (*corners[1:], corners[0]), strict=True)
    outlines = _outlines_with_room(things)
    return tuple(
        Line(part, Role.GRID, is_dashed=is_assumed)
        for side in sides
        for part in outside_of(side, outlines, CUT_STEP)
    )


def _inner_frame(frame: Frame) -> tuple[Line, ...]:
    """The corners of a frame in the frame: whole, it would look like a thing."""
    inset = INNER_FRAME_INSET
    left, top, right, bottom = frame.box((inset, inset, 1 - inset, 1 - inset))
    arm = INNER_FRAME_ARM * frame.longer
    return tuple(
        Line((Point(x, y + dy), Point(x, y), Point(x + dx, y)), Role.GRID)
        for x, dx in ((left, arm), (right, -arm))
        for y, dy in ((top, arm), (bottom, -arm))
    )


def diagonal_lines(intent: Intent, things: Sequence[Thing], frame: Frame) -> tuple[Line, ...]:
    """The dominant diagonal, as far as no thing covers it."""
    direction = intent.diagonal if intent.diagonal_deg is None else intent.diagonal_deg
    if direction is None:
        return ()
    ends = line_across(direction, frame.width, frame.height)
    if not ends:
        return ()
    parts = outside_of(_shortened(*ends), _outlines_with_room(things), CUT_STEP)
    return tuple(Line(part, Role.DIAGONAL, is_dashed=True) for part in parts)


def _shortened(start: Point, end: Point) -> tuple[Point, Point]:
    """A line without its ends, so that it does not touch the frame's corners."""
    share = DIAGONAL_INSET / math.dist(start, end)
    across, down = share * (end.x - start.x), share * (end.y - start.y)
    return Point(start.x + across, start.y + down), Point(end.x - across, end.y - down)


def _outlines_with_room(things: Sequence[Thing]) -> list[Points]:
    """Outlines grown by `ROOM`, so that a line ends before it touches one."""
    grown = []
    for thing in things:
        left, top, right, bottom = thing.box
        middle = thing.box.centre
        across, down = 1 + 2 * ROOM / (right - left), 1 + 2 * ROOM / (bottom - top)
        grown.append(
            tuple(
                Point(middle.x + across * (p.x - middle.x), middle.y + down * (p.y - middle.y))
                for p in thing.outline
            )
        )
    return grown


def empty_side_marks(intent: Intent, things: Sequence[Thing], frame: Frame) -> tuple[Line, ...]:
    """Dots along each edge at which the frame stays empty, where no thing is.

    Of several sides, any of which will do, the first one is marked.
    """
    outlines = _outlines_with_room(things)
    edges = [
        edge
        for planned in intent.negative_space_sides[:1]
        for side in sides_of_planned(planned)
        for edge in (("left", "right", "top", "bottom") if side == "around" else (side,))
    ]
    dots = dict.fromkeys(dot for edge in edges for dot in _dots(edge, frame))
    return tuple(
        Line((dot, dot), Role.EMPTY)
        for dot in dots
        if not any(is_inside(outline, dot) for outline in outlines)
    )


def _dots(edge: str, frame: Frame) -> Iterator[Point]:
    """Dots strewn along an edge; rows would look like dotted paper."""
    width, height = float(frame.width), float(frame.height)
    is_upright = edge in ("left", "right")
    if edge not in ("left", "right", "top", "bottom"):
        return
    length, across = (height, width) if is_upright else (width, height)
    n = round((length - 2 * DOT_SPACING) / DOT_SPACING)
    for number in range(n * N_DOT_ROWS):
        row, place = number % N_DOT_ROWS, number // N_DOT_ROWS
        along = DOT_SPACING * (1.5 + place + _scattered(number, SPREAD_ALONG))
        depth = DOT_SPACING * (1.2 + row + _scattered(number, SPREAD_ACROSS))
        depth = depth if edge in ("left", "top") else across - depth
        yield Point(depth, along) if is_upright else Point(along, depth)


def _scattered(number: int, irrational: float) -> float:
    """An offset in [-0.4, 0.4] that looks like chance and is the same every time."""
    return 0.8 * ((number * irrational) % 1.0 - 0.5)
