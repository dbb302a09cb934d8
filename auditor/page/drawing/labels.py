"""Words at points and boxes of a drawing, so that no two of them cover each other."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

from auditor.geometry import Box
from auditor.page.drawing import shapes
from auditor.page.drawing.layers import Frame, Label, Role

TEXT_SIZE = 0.027  # of the frame's longer side
# Mean width of a letter over the size of the text; wide enough for the bold face of common
# sans-serif fonts (DejaVu Sans Bold, the widest of them, has about 0.7).
LETTER_WIDTH = 0.7
LINE_HEIGHT = 1.25  # over the size of the text
GAP = 0.028  # from the point to the word, of the frame's longer side
ROOM_LINES = 4  # height from which a word inside a box leaves most of it to be seen
MOST_LINES_AWAY = 6  # farther from its point a word would not be taken for it


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


def labels_beside(
    named: Sequence[Named], frame: Frame, keep_free: Sequence[Box] = ()
) -> tuple[Label, ...]:
    """Put a word at each box.

    A word stands beside a point, on the side where the frame has more room; over or under a box,
    in it if it is large, or beside it; or else a few lines above or below these places: wherever it
    covers no word before it and stays in the frame, and where that is possible, outside the areas
    to be kept free. Where there is no such place it stands at the first one.

    Parameters
    ----------
    named : sequence of Named
    frame : Frame
    keep_free : sequence of Box
        Areas that words should not cover, in pixels of the preview.
    """
    size = TEXT_SIZE * frame.longer
    taken: list[Box] = []
    labels = []
    for one in named:
        places = _places(one, size, frame)
        free = [place for place in places if _is_free(place.box, taken, frame)]
        clear = (place for place in free if not any(_overlap(place.box, b) for b in keep_free))
        chosen = next(clear, free[0] if free else places[0])
        taken.append(chosen.box)
        baseline = chosen.y + size / 3
        # Held at the side of its box, so that a wider font grows away from it.
        is_right = chosen.left >= one.box.centre.x or chosen.left == one.box.left
        x = chosen.left if is_right else chosen.left + chosen.width
        anchor: Literal["start", "end"] = "start" if is_right else "end"
        labels.append(Label(shapes.number(x), shapes.number(baseline), one.text, anchor, one.role))
    return tuple(labels)


def _places(one: Named, size: float, frame: Frame) -> list[_Placed]:
    """Where a word may stand, the best place first."""
    width, height = len(one.text) * LETTER_WIDTH * size, LINE_HEIGHT * size
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
    return [_Placed(x, y + step, width, height) for step in steps for x, y in starts]


def _is_free(box: Box, taken: Sequence[Box], frame: Frame) -> bool:
    inside = (
        box.left >= 0 and box.top >= 0 and box.right <= frame.width and box.bottom <= frame.height
    )
    return inside and not any(_overlap(box, other) for other in taken)


def _overlap(a: Box, b: Box) -> bool:
    return a.left < b.right and b.left < a.right and a.top < b.bottom and b.top < a.bottom
