"""Where the words of a drawing stand, so that no two of them overlap.

Each word has a list of places in which it would be understood: in its outline, at it, a few lines
away from it. Of the places that are in the frame and free of other words the one that hides least
of the drawing is taken. A word without a free place is tried in two lines, then as its number in
the list beside the frame; if that has no place either, it is left out, and the list still has it.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from auditor.geometry import Box, Point
from auditor.page.drawing.layers import Frame
from auditor.plan_sheet.drawing import (
    Line,
    Points,
    Word,
    box_of,
    common_area,
    grown,
    holds,
    whole,
)
from auditor.plan_sheet.lettering import Lettering
from auditor.plan_sheet.places_taken import PlacesTaken
from auditor.plan_sheet.polygons import box_is_inside

# In sizes of the text.
PADDING = 0.25  # around a word, so that two words do not read as one
GAP = 0.6  # from an outline to its word
EDGE_GAP = 0.3  # from the edge of the frame
MOST_LINES_AWAY = 2
LONGEST_LINE = 24  # letters; a longer name is cut
# Costs, on the scale of `places_taken`: of a place a line farther away, of a second line, of a
# number for a name, of a place outside its own outline where it would fit inside.
COST_PER_LINE_AWAY, COST_OF_TWO_LINES, COST_OF_NUMBER, COST_OUTSIDE = 0.35, 0.1, 1.5, 0.3
# Of a place anywhere in the frame, and of being a diagonal of the frame away from its marks.
COST_ANYWHERE, COST_OF_DISTANCE = 0.7, 3.0
N_ANYWHERE = 20  # places across the frame and down it
MOST_MARKS = 12  # of which the nearest is looked for
ALIGNMENTS = (0.5, 0.0, 1.0, 0.25, 0.75)


@dataclass(frozen=True, slots=True)
class Named:
    """Something with a word.

    Attributes
    ----------
    text : str
    at : tuple of Point
        Its outline, or the ends of its line.
    number : str
        Written where the text has no room; empty for none.
    is_area : bool
        Whether the word may stand inside the outline.
    anywhere : bool
        Whether the word may stand anywhere in the frame.
    """

    text: str
    at: Points
    number: str = ""
    is_area: bool = True
    anywhere: bool = False


def place_words(
    named: Sequence[Named], frame: Frame, lettering: Lettering, taken: PlacesTaken
) -> tuple[Word, ...]:
    """Place words, the first ones first."""
    words: list[Word] = []
    for one in named:
        word = _best(one, frame, lettering, taken, [word.box for word in words])
        if word is not None:
            words.append(word)
    return tuple(words)


def _best(
    one: Named, frame: Frame, lettering: Lettering, taken: PlacesTaken, others: Sequence[Box]
) -> Word | None:
    best: tuple[float, Word] | None = None
    inner = grown(whole(frame), -EDGE_GAP * lettering.size)
    own = box_of(one.at)
    padding = PADDING * lettering.size
    for lines, version_cost in _versions(one):
        width = max(lettering.width(line) for line in lines)
        height = len(lines) * lettering.line_height
        for centre, place_cost in _places(one, width, height, lettering, frame):
            box = _around(centre, width, height)
            padded = grown(box, padding)
            if not holds(inner, box) or any(common_area(padded, other) > 0 for other in others):
                continue
            cost = version_cost + place_cost + taken.cost(padded, own)
            if best is None or cost < best[0] - 1e-9:
                best = cost, Word(lines, box)
    return None if best is None else best[1]


def _versions(one: Named) -> Iterator[tuple[tuple[str, ...], float]]:
    """The text in one line, in two, and as a number, with what each costs."""
    text = " ".join(one.text.split())
    if len(text) <= LONGEST_LINE:
        yield (text,), 0.0
    halves = _halves(text)
    if halves:
        yield halves, COST_OF_TWO_LINES
    if one.number:
        yield (one.number,), COST_OF_NUMBER


def _halves(text: str) -> tuple[str, str] | None:
    """Two lines of about the same length, each cut if it is too long; None for a single word."""
    spaces = [i for i, letter in enumerate(text) if letter == " "]
    if not spaces:
        return (
            None
            if len(text) <= LONGEST_LINE
            else (_cut(text[:LONGEST_LINE]), _cut(text[LONGEST_LINE:]))
        )
    middle = min(spaces, key=lambda i: max(i, len(text) - i - 1))
    return _cut(text[:middle]), _cut(text[middle + 1 :])


def _cut(line: str) -> str:
    return line if len(line) <= LONGEST_LINE else line[: LONGEST_LINE - 1].rstrip() + "…"


def _places(
    one: Named, width: float, height: float, lettering: Lettering, frame: Frame
) -> Iterator[tuple[Point, float]]:
    """Middles of the places of a word, with what each costs."""
    own = box_of(one.at)
    has_room = False
    if one.is_area:
        for down in (0.5, 0.64, 0.36):
            centre = Point((own.left + own.right) / 2, own.top + down * (own.bottom - own.top))
            if box_is_inside(one.at, grown(_around(centre, width, height), lettering.size / 4)):
                has_room = True
                yield centre, 0.0
    outside = COST_OUTSIDE if has_room else 0.0
    for away in range(MOST_LINES_AWAY + 1):
        gap = (GAP + away) * lettering.size
        for centre in _around_box(own, width, height, gap):
            yield centre, outside + COST_PER_LINE_AWAY * away
    if one.anywhere:
        marks = one.at[:: max(1, len(one.at) // MOST_MARKS)]
        for i in range(1, N_ANYWHERE):
            for j in range(1, N_ANYWHERE):
                at = Point(frame.width * i / N_ANYWHERE, frame.height * j / N_ANYWHERE)
                distance = min(math.dist(at, mark) for mark in marks) / frame.diagonal
                yield at, COST_ANYWHERE + COST_OF_DISTANCE * distance


def _around_box(own: Box, width: float, height: float, gap: float) -> Iterator[Point]:
    """Under, over, right and left of a box, aligned with its middle or its sides."""
    for share in ALIGNMENTS:
        x = own.left + width / 2 + share * (own.right - own.left - width)
        yield Point(x, own.bottom + gap + height / 2)
        yield Point(x, own.top - gap - height / 2)
        y = own.top + height / 2 + share * (own.bottom - own.top - height)
        yield Point(own.right + gap + width / 2, y)
        yield Point(own.left - gap - width / 2, y)


def _around(centre: Point, width: float, height: float) -> Box:
    return Box(
        centre.x - width / 2, centre.y - height / 2, centre.x + width / 2, centre.y + height / 2
    )


def ends_of(lines: Sequence[Line]) -> Points:
    """All points of several lines."""
    return tuple(point for line in lines for point in line.points)
