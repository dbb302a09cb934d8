"""Places for words on a picture, so that none stands on another."""

from __future__ import annotations

from itertools import product
from typing import NamedTuple

# What a place costs: per square px that it hides of what is drawn, far more of other words, and per
# px that it lies away from what it names.
HIDES, HIDES_WORDS, AWAY = 1.0, 1000.0, 12.0
STEP_PX, N_STEPS = 22, 7  # how far away from its thing a label may be moved


class Rectangle(NamedTuple):
    """An upright rectangle in px."""

    left: float
    top: float
    right: float
    bottom: float

    def overlap(self, other: Rectangle) -> float:
        """Area in common, in square px."""
        across = min(self.right, other.right) - max(self.left, other.left)
        down = min(self.bottom, other.bottom) - max(self.top, other.top)
        return max(0.0, across) * max(0.0, down)


class Labels:
    """Words placed so far.

    Parameters
    ----------
    within : Rectangle
        Where words may stand.
    """

    def __init__(self, within: Rectangle) -> None:
        self._within = within
        self._words: list[Rectangle] = []
        self._drawn: list[Rectangle] = []

    def avoid(self, area: Rectangle) -> None:
        """Rather leave an area free."""
        self._drawn.append(area)

    def place(self, width: float, height: float, beside: Rectangle) -> Rectangle:
        """The best place for words of a size beside an area; it is taken from now on."""
        best = min(self._places(width, height, beside), key=lambda p: p[0])[1]
        self._words.append(best)
        return best

    def _places(
        self, width: float, height: float, beside: Rectangle
    ) -> list[tuple[float, Rectangle]]:
        x = (beside.left, (beside.left + beside.right - width) / 2, beside.right - width)
        y = (beside.top, (beside.top + beside.bottom - height) / 2, beside.bottom - height)
        places = []
        for away in (step * STEP_PX for step in range(N_STEPS)):
            above, below = beside.top - height - 2 - away, beside.bottom + 2 + away
            before, behind = beside.left - width - 2 - away, beside.right + 2 + away
            corners = [*product(x, (above, below)), *product((before, behind), y)]
            places += [self._cost(left, top, width, height, away) for left, top in corners]
        return places

    def _cost(
        self, x: float, y: float, width: float, height: float, away: float
    ) -> tuple[float, Rectangle]:
        x = min(max(x, self._within.left), self._within.right - width)
        y = min(max(y, self._within.top), self._within.bottom - height)
        place = Rectangle(x, y, x + width, y + height)
        cost = AWAY * away
        cost += HIDES * sum(place.overlap(area) for area in self._drawn)
        cost += HIDES_WORDS * sum(place.overlap(words) for words in self._words)
        return cost, place
