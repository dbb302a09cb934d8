"""Names of light directions, as photographers use them, and the clock positions that they cover."""

from __future__ import annotations

from typing import Literal

from auditor.geometry import clock_difference_hours

LightName = Literal["back light", "three-quarter back light", "side light", "front light"]
LightSide = Literal["left", "right"]

# Hours from 12. The dial's half is cut at the middles between 12, 1:30, 3 and 4:30 (common
# practice: back, three-quarter back, side and three-quarter front light stand 45 degrees apart);
# three-quarter front light is called front light and keeps its side.
BACK_HOURS = 0.75
THREE_QUARTER_HOURS = 2.25
SIDE_HOURS = 3.75
FRONT_HOURS = 5.25  # from here on front light has no side


def light_name(clock: float) -> tuple[LightName, LightSide | None]:
    """Name a clock position, with the side from which the light comes.

    Within 0.75 h of 12 it is back light, to 2.25 h three-quarter back light, to 3.75 h side
    light, beyond front light. Back light and front light within 0.75 h of 12 and 6 have no side.
    """
    hours = clock_difference_hours(clock, 12.0)
    apart = abs(hours)
    side: LightSide | None = "right" if hours > 0 else "left"
    if apart < BACK_HOURS:
        return "back light", None
    if apart < THREE_QUARTER_HOURS:
        return "three-quarter back light", side
    if apart <= SIDE_HOURS:
        return "side light", side
    return "front light", side if apart <= FRONT_HOURS else None


def light_words(clock: float) -> str:
    """Name a clock position in words: ``"side light from the left"``."""
    name, side = light_name(clock)
    return name if side is None else f"{name} from the {side}"
