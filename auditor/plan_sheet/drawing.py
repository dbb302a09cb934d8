"""What the drawing of a planned frame is made of, for the page and for the picture alike.

Lengths are in units of which the frame's longer side has `LONGER_SIDE`; x grows to the right and y
downwards from the frame's upper left corner.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from enum import StrEnum
from itertools import pairwise

from auditor.geometry import Box, Point
from auditor.page.drawing.layers import Frame

LONGER_SIDE = 1000
DASH, DASH_GAP = 16.0, 9.0

Points = tuple[Point, ...]


class Role(StrEnum):
    """What a line stands for; it gives the line its style."""

    FRAME = "frame"
    GRID = "grid"
    EMPTY = "empty"
    DIAGONAL = "diagonal"
    SUPPORTING = "supporting"
    SUBJECT = "subject"
    LIGHT = "light"


@dataclass(frozen=True, slots=True)
class Line:
    """A line through points; `is_dashed` where it stands for an assumption or a direction."""

    points: Points
    role: Role
    is_dashed: bool = False
    is_closed: bool = False

    @property
    def course(self) -> Points:
        """The points, with the first once more at the end of a closed line."""
        return (*self.points, self.points[0]) if self.is_closed else self.points


@dataclass(frozen=True, slots=True)
class Word:
    """Lines of text, centred in a box."""

    lines: tuple[str, ...]
    box: Box


@dataclass(frozen=True, slots=True)
class Drawing:
    """A planned frame.

    Attributes
    ----------
    frame : Frame
        Its size.
    zones : tuple of Box
        Where something may stand whose place was planned in words.
    lines : tuple of Line
        In the order in which they are drawn, without the frame's own.
    words : tuple of Word
        No two of them overlap.
    text_size : float
    """

    frame: Frame
    zones: tuple[Box, ...]
    lines: tuple[Line, ...]
    words: tuple[Word, ...]
    text_size: float

    @property
    def outline(self) -> Line:
        """The frame's own lines."""
        return Line(corners_of(whole(self.frame)), Role.FRAME, is_closed=True)


def frame_of(aspect_ratio: float) -> Frame:
    """A frame of this width over height."""
    if aspect_ratio >= 1:
        return Frame(LONGER_SIDE, round(LONGER_SIDE / aspect_ratio))
    return Frame(round(LONGER_SIDE * aspect_ratio), LONGER_SIDE)


def whole(frame: Frame) -> Box:
    """The frame as a box."""
    return Box(0.0, 0.0, float(frame.width), float(frame.height))


def corners_of(box: Box) -> Points:
    """Corners from the upper left one, clockwise."""
    left, top, right, bottom = box
    return Point(left, top), Point(right, top), Point(right, bottom), Point(left, bottom)


def box_of(points: Iterable[Point]) -> Box:
    """The smallest box around points."""
    xs, ys = zip(*points, strict=True)
    return Box(min(xs), min(ys), max(xs), max(ys))


def grown(box: Box, by: float) -> Box:
    """A box with a margin."""
    return Box(box.left - by, box.top - by, box.right + by, box.bottom + by)


def area_of(box: Box) -> float:
    """Area of a box."""
    return max(0.0, box.right - box.left) * max(0.0, box.bottom - box.top)


def common_area(a: Box, b: Box) -> float:
    """Area that two boxes share."""
    across = min(a.right, b.right) - max(a.left, b.left)
    down = min(a.bottom, b.bottom) - max(a.top, b.top)
    return max(0.0, across) * max(0.0, down)


def holds(outer: Box, inner: Box) -> bool:
    """Whether a box lies in another."""
    return (
        inner.left >= outer.left
        and inner.top >= outer.top
        and inner.right <= outer.right
        and inner.bottom <= outer.bottom
    )


def dashes(course: Sequence[Point], dash: float, gap: float) -> Iterator[Points]:
    """Cut a line into dashes of about these lengths; it begins and ends with a dash."""
    length = sum(math.dist(a, b) for a, b in pairwise(course))
    if length <= dash:
        yield tuple(course)
        return
    n_gaps = max(1, round((length - dash) / (dash + gap)))
    scale = length / (n_gaps * (dash + gap) + dash)
    period, drawn = (dash + gap) * scale, dash * scale
    for number in range(n_gaps + 1):
        yield _stretch(course, number * period, number * period + drawn)


def _stretch(course: Sequence[Point], start: float, end: float) -> Points:
    """The part of a line between two distances along it."""
    points: list[Point] = []
    along = 0.0
    for a, b in pairwise(course):
        length = math.dist(a, b)
        if length > 0 and along + length >= start and along <= end:
            for at in (max(start, along), min(end, along + length)):
                share = (at - along) / length
                points.append(Point(a.x + share * (b.x - a.x), a.y + share * (b.y - a.y)))
        along += length
    return tuple(points)
