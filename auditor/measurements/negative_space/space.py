"""The value type of negative space: how much of the frame is empty, and on which side."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from auditor.geometry import Box, Point
from auditor.vocabulary.sides import Side

NO_SPACE_FRACTION = 0.1  # of the frame: less is no noticeable negative space (no source)
SIDE_IMBALANCE = 0.1  # of the emptiness: so much more in one half names that side (no source)
# Whether a patterned ground is empty is a matter of view, so either fraction may be meant; from
# this difference on. A viewer of 40 photographs of dishes mostly meant the one without it, the
# rendered truth counts all of it: a little more than even odds.
PATTERN_COUNTS_FROM, PATTERN_DOUBT = 0.1, 0.55


@dataclass(frozen=True, slots=True)
class Emptiness:
    """An empty area.

    Attributes
    ----------
    fraction : float
        Share of the frame, in [0, 1].
    to_right, to_bottom : float
        How much more of the area lies in the right half than in the left, and in the lower than in
        the upper, as a share of the area, in [-1, 1].
    """

    fraction: float
    to_right: float
    to_bottom: float


@dataclass(frozen=True, slots=True)
class NegativeSpace:
    """The empty part of the frame.

    Attributes
    ----------
    fraction : float
        Share of the frame, in [0, 1]; the quantity's tolerance is in the same unit.
    largest_region_bbox : Box or None
        Box of the largest connected quiet region.
    largest_region_fraction : float
        Its share of the frame.
    largest_region_outline : tuple of rings
        Its outline and then those of the holes in it, each a closed polygon, to be filled by the
        even-odd rule; empty if there is no region.
    side : str
        Where most of the emptiness lies: left, right, top, bottom, around or none.
    to_right, to_bottom : float
        As in `Emptiness`; from `SIDE_IMBALANCE` on a side is named.
    plain : Emptiness or None
        The same without patterned ground, such as granite, a printed cloth or a grid; None where
        it was not measured.
    """

    fraction: float
    largest_region_bbox: Box | None
    largest_region_fraction: float
    side: Side
    to_right: float = 0.0
    to_bottom: float = 0.0
    plain: Emptiness | None = None
    largest_region_outline: tuple[tuple[Point, ...], ...] = ()

    @property
    def whole(self) -> Emptiness:
        """All of the empty area, patterned ground included."""
        return Emptiness(self.fraction, self.to_right, self.to_bottom)

    @property
    def is_patterned(self) -> bool:
        """Whether patterned ground makes a difference that a plan would notice."""
        whole, plain = self.views
        return whole.fraction - plain.fraction >= PATTERN_COUNTS_FROM

    @property
    def views(self) -> tuple[Emptiness, Emptiness]:
        """What counts as empty in either view of patterned ground."""
        return self.whole, self.plain or self.whole


def emptiness(empty: NDArray[np.bool_]) -> Emptiness:
    """Describe a mask (h, w) of empty places."""
    share = float(empty.mean())
    if share == 0:
        return Emptiness(0.0, 0.0, 0.0)
    x = np.linspace(-1, 1, empty.shape[1])
    y = np.linspace(-1, 1, empty.shape[0])
    to_right = float((empty.mean(axis=0) * np.sign(x)).mean()) / share
    to_bottom = float((empty.mean(axis=1) * np.sign(y)).mean()) / share
    return Emptiness(share, to_right, to_bottom)


def side_of(area: Emptiness) -> Side:
    """Side on which most of the emptiness lies: the half with clearly more than its opposite."""
    if area.fraction < NO_SPACE_FRACTION:
        return "none"
    if max(abs(area.to_right), abs(area.to_bottom)) < SIDE_IMBALANCE:
        return "around"
    if abs(area.to_right) >= abs(area.to_bottom):
        return "right" if area.to_right > 0 else "left"
    return "bottom" if area.to_bottom > 0 else "top"


def sides_of(area: Emptiness) -> tuple[Side, ...]:
    """The halves with clearly more of the emptiness than their opposites, the clearest first.

    Emptiness in a corner lies on two sides. ``"around"`` or ``"none"`` where there is no such half.
    """
    main = side_of(area)
    if main in {"around", "none"}:
        return (main,)
    across: Side = "right" if area.to_right > 0 else "left"
    down: Side = "bottom" if area.to_bottom > 0 else "top"
    both = ((across, abs(area.to_right)), (down, abs(area.to_bottom)))
    clear = [side for side, amount in both if amount >= SIDE_IMBALANCE]
    return (main, *(side for side in clear if side != main))


def doubt_of_pattern(space: NegativeSpace) -> float:
    """Probability that the fraction without patterned ground is the one that a viewer means."""
    if space.plain is None:
        return 0.0
    apart = space.fraction - space.plain.fraction
    return PATTERN_DOUBT * min(1.0, max(0.0, apart / PATTERN_COUNTS_FROM))
