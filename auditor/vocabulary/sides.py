"""Names of the sides of the frame on which most of the empty space may lie."""

from __future__ import annotations

from typing import Literal, get_args

Side = Literal["left", "right", "top", "bottom", "around", "none"]
# Planned alone: emptiness in a corner is measured as lying on two sides.
Corner = Literal["upper left", "upper right", "lower left", "lower right"]
# Planned alone, too: both at once, which is measured as neither having clearly more.
BothSides = Literal["left and right"]
PlannedSide = Side | Corner | BothSides

SIDES: tuple[Side, ...] = get_args(Side)
CORNERS: tuple[Corner, ...] = get_args(Corner)

EITHER_SIDE = "left or right"
BOTH_SIDES: BothSides = "left and right"

_OF_CORNER: dict[Corner, tuple[Side, Side]] = {
    "upper left": ("top", "left"),
    "upper right": ("top", "right"),
    "lower left": ("bottom", "left"),
    "lower right": ("bottom", "right"),
}


def sides_of_planned(planned: PlannedSide) -> tuple[Side, ...]:
    """The sides on which the emptiness has to lie at once: two for a corner."""
    if planned == BOTH_SIDES:
        return ("left", "right")
    for corner, sides in _OF_CORNER.items():
        if planned == corner:
            return sides
    return tuple(side for side in SIDES if side == planned)
