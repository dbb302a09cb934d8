"""Names of the sides of the frame on which most of the negative space may lie."""

from typing import Literal, get_args

Side = Literal["left", "right", "top", "bottom", "around", "none"]

SIDES: tuple[Side, ...] = get_args(Side)
