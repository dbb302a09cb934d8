"""Words at points and boxes of a drawing, so that no two of them cover each other."""

from __future__ import annotations

import unicodedata
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import lru_cache
from typing import Literal

from auditor.geometry import Box
from auditor.page.drawing import shapes
from auditor.page.drawing.layers import Frame, Label, Role, Width

# Size of the text over the frame's longer side: on a wide page, where a picture is about 600 px
# wide, and on a narrow one or on paper, where it is 300 to 450 px.
TEXT_SIZES: dict[Width, float] = {"wide": 0.027, "narrow": 0.038}
# Widths of letters over the size of the text, of the bold face of the widest common sans-serif font
# (DejaVu Sans Bold, measured): wide letters, capitals, narrow letters, all others.
WIDE_LETTERS, WIDE_WIDTH = frozenset("mwMWQO@%—…"), 1.12
NARROW_LETTERS, NARROW_WIDTH = frozenset("iljtfrI.,:;'’!|()[] -"), 0.5
CAPITAL_WIDTH, LETTER_WIDTH = 0.85, 0.72
FULL_WIDTH = 1.1  # of Chinese, Japanese and Korean characters and of pictograms
LINE_HEIGHT = 1.25  # over the size of the text
GAP = 0.028  # from the point to the word, of the frame's longer side
EDGE = 0.008  # from the edge of the frame to the word, of its longer side
ROOM_LINES = 4  # height from which a word inside a box leaves most of it to be seen
MOST_LINES_AWAY = 4  # farther from its point a word would not be taken for it
MOST_ACROSS = 0.6  # of the frame's width; a longer name stands in the key under the picture


@dataclass(frozen=True, slots=True)
class _Placed:
    """A word that starts at `left`, its middle line at `y`."""

    left: float
    y: float
    width: float
    height: float

    @property
    def box(self) -> Box:
        return Box(
            self.left, self.y - self.height / 2, self.left + self.width, self.y + self.height / 2
        )


@dataclass(frozen=True, slots=True)
class Named:
    """A box with its word, in pixels of the preview; a point is a box without a size.

    The word stands at the box, or inside it, near the edge of the frame, if `is_area`.
    """

    box: Box
    text: str
    role: Role
    is_area: bool = False
    layer: str = "supporting"


@dataclass(frozen=True, slots=True)
class KeyEntry:
    """A number that stands in the drawing in place of a name, with the name."""

    number: int
    text: str
    layer: str


@dataclass(frozen=True, slots=True)
class Labelling:
    """The words of a drawing for one width of the page, and what its numbers stand for."""

    labels: tuple[Label, ...]
    key: tuple[KeyEntry, ...]


def labels_beside(
    named: Sequence[Named],
    frame: Frame,
    taken: Sequence[Box] = (),
    keep_free: Sequence[Box] = (),
    width: Width = "wide",
) -> Labelling:
    """Put a word at each box.

    A word stands beside a point, on the side where the frame has more room; over or under a box,
    in it if it is large, or beside it; or else a few lines above or below these places: wherever it
    covers no word before it and stays in the frame, and where that is possible, outside the areas
    to be kept free. Where there is no such place, or the name is long, its number stands there and
    the name in the key; a number may stand anywhere in the frame, as near as there is room. No two
    words ever cover each other: one that has no room at all is in the key alone.

    Parameters
    ----------
    named : sequence of Named
    frame : Frame
    taken : sequence of Box
        Areas that words never cover, in pixels of the preview.
    keep_free : sequence of Box
        Areas that they should not cover.
    width : str
        Of the page for which the words are.
    """
    size = TEXT_SIZES[width] * frame.longer
    full = list(taken)
    labels, key = [], []
    for number, one in enumerate(named, start=1):
        text = one.text
        is_long = text_width(text, size) > MOST_ACROSS * frame.width
        chosen = None if is_long else _free_place(one, text, size, frame, full, keep_free)
        if chosen is None:
            text = str(number)
            key.append(KeyEntry(number, one.text, one.layer))
            chosen = _free_place(one, text, size, frame, full, keep_free) or next(
                (place for place in _anywhere(one, text, size, frame) if _is_free(place, full)),
                None,
            )
        if chosen is not None:
            full.append(chosen.box)
            labels.append(_label(one, text, chosen, size, width))
    return Labelling(tuple(labels), tuple(key))


def text_width(text: str, size: float) -> float:
    """Width of a text in the widest of the fonts that a page may have, in the unit of `size`."""
    return size * sum(_letter_width(letter) for letter in text)


@lru_cache(maxsize=1024)
def _letter_width(letter: str) -> float:
    if unicodedata.east_asian_width(letter) in {"W", "F"} or ord(letter) > 0xFFFF:
        return FULL_WIDTH
    if letter in WIDE_LETTERS:
        return WIDE_WIDTH
    if letter in NARROW_LETTERS:
        return NARROW_WIDTH
    return CAPITAL_WIDTH if letter.isupper() else LETTER_WIDTH


def _label(one: Named, text: str, place: _Placed, size: float, width: Width) -> Label:
    # Held at the side of its box, so that a narrower font stays near it.
    is_right = place.left >= one.box.centre.x or place.left == one.box.left
    x = place.left if is_right else place.left + place.width
    anchor: Literal["start", "end"] = "start" if is_right else "end"
    y = shapes.number(place.y + size / 3)
    return Label(shapes.number(x), y, text, anchor, one.role, one.layer, width)


def _free_place(
    one: Named,
    text: str,
    size: float,
    frame: Frame,
    taken: Sequence[Box],
    keep_free: Sequence[Box],
) -> _Placed | None:
    """The best place for a text near its box; None where there is none."""
    first_free = None
    for place in _places(one, text, size, frame):
        moved = _moved_in(place, frame)
        if moved is None or not _is_free(moved, taken):
            continue
        if _is_free(moved, keep_free):
            return moved
        first_free = first_free or moved
    return first_free


def _places(one: Named, text: str, size: float, frame: Frame) -> Iterator[_Placed]:
    """Where a word may stand, the best place first."""
    width, height = text_width(text, size), LINE_HEIGHT * size
    box, gap = one.box, GAP * frame.longer
    beside = [box.right + gap, box.left - gap - width]
    # Over, under and in a box its word is held at the side that is nearer to the frame's edge.
    sides = [box.left, box.right - width]
    if box.centre.x > frame.width / 2:
        beside.reverse()
        sides.reverse()
    starts = [(x, box.centre.y) for x in beside]
    if one.is_area or box.area_fraction > 0:
        over, under = box.top - height / 2, box.bottom + height / 2
        inside = [over + height, under - height]
        if box.centre.y > frame.height / 2:
            inside.reverse()
        has_room = box.right - box.left >= width and box.bottom - box.top >= ROOM_LINES * height
        rows = inside if one.is_area else [over, under, *(inside if has_room else ())]
        starts = [*((x, y) for y in rows for x in sides), *starts]
    steps = [0.0]
    for line in range(1, MOST_LINES_AWAY + 1):
        steps += [line * height, -line * height]
    for step in steps:
        for x, y in starts:
            yield _Placed(x, y + step, width, height)


def _moved_in(place: _Placed, frame: Frame) -> _Placed | None:
    """The same a little away from the frame's edge; None where that moves it a line or more."""
    edge = EDGE * frame.longer
    half = place.height / 2
    left = min(max(place.left, edge), frame.width - edge - place.width)
    y = min(max(place.y, edge + half), frame.height - edge - half)
    if left < 0 or y < half or abs(y - place.y) > place.height or abs(left - place.left) > half * 2:
        return None
    return _Placed(left, y, place.width, place.height)


def _anywhere(one: Named, text: str, size: float, frame: Frame) -> Iterator[_Placed]:
    """Every place of a grid over the frame, the nearest to the middle of the box first."""
    width, height = text_width(text, size), LINE_HEIGHT * size
    edge = EDGE * frame.longer
    across = int((frame.width - 2 * edge) // width)
    down = int((frame.height - 2 * edge) // height)
    places = [
        _Placed(edge + column * width, edge + (row + 0.5) * height, width, height)
        for row in range(down)
        for column in range(across)
    ]
    x, y = one.box.centre
    yield from sorted(places, key=lambda p: (p.left + p.width / 2 - x) ** 2 + (p.y - y) ** 2)


def _is_free(place: _Placed, taken: Sequence[Box]) -> bool:
    box = place.box
    return not any(_overlap(box, other) for other in taken)


def _overlap(a: Box, b: Box) -> bool:
    return a.left < b.right and b.left < a.right and a.top < b.bottom and b.top < a.bottom
