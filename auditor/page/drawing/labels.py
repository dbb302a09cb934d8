"""Words beside points of a drawing, so that no two of them cover each other."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

from auditor.geometry import Box, Point
from auditor.page.drawing import shapes
from auditor.page.drawing.layers import Frame, Label

TEXT_SIZE = 0.027  # of the frame's longer side
# Mean width of a letter over the size of the text; wide enough for the bold face of common
# sans-serif fonts (DejaVu Sans Bold, the widest of them, has about 0.7).
LETTER_WIDTH = 0.7
LINE_HEIGHT = 1.25  # over the size of the text
GAP = 0.028  # from the point to the word, of the frame's longer side
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


def labels_beside(named: Sequence[tuple[Point, str]], frame: Frame) -> tuple[Label, ...]:
    """Put a word beside each point.

    A word stands on the side of its point where the frame has more room, or else on the other
    side, or a few lines above or below: wherever it covers no word before it and stays in the
    frame. Where there is no such place it stands on the first side.

    Parameters
    ----------
    named : sequence of (Point, str)
        Points in pixels of the preview, each with its word.
    frame : Frame
    """
    size = TEXT_SIZE * frame.longer
    taken: list[Box] = []
    labels = []
    for at, text in named:
        places = _places(at, text, size, frame)
        free = (place for place in places if _is_free(place.box, taken, frame))
        chosen = next(free, places[0])
        taken.append(chosen.box)
        baseline = chosen.y + size / 3
        # Held at the side of its point, so that a wider font grows away from it.
        is_right = chosen.left >= at.x
        x = chosen.left if is_right else chosen.left + chosen.width
        anchor: Literal["start", "end"] = "start" if is_right else "end"
        labels.append(Label(shapes.number(x), shapes.number(baseline), text, anchor, "planned"))
    return tuple(labels)


def _places(at: Point, text: str, size: float, frame: Frame) -> list[_Placed]:
    """Where a word may stand, the best place first."""
    width, height = len(text) * LETTER_WIDTH * size, LINE_HEIGHT * size
    gap = GAP * frame.longer
    right, left = at.x + gap, at.x - gap - width
    sides = (right, left) if at.x <= frame.width / 2 else (left, right)
    steps = [0.0]
    for line in range(1, MOST_LINES_AWAY + 1):
        steps += [line * height, -line * height]
    return [_Placed(side, at.y + step, width, height) for step in steps for side in sides]


def _is_free(box: Box, taken: Sequence[Box], frame: Frame) -> bool:
    inside = (
        box.left >= 0 and box.top >= 0 and box.right <= frame.width and box.bottom <= frame.height
    )
    return inside and not any(_overlap(box, other) for other in taken)


def _overlap(a: Box, b: Box) -> bool:
    return a.left < b.right and b.left < a.right and a.top < b.bottom and b.top < a.bottom
