"""What a light direction is, and what photographers call it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from auditor.geometry import clock_difference_hours

LightName = Literal["back light", "three-quarter back light", "side light", "front light"]
Side = Literal["left", "right"]

# Hours from 12. The dial's half is cut at the middles between 12, 1:30, 3 and 4:30 (common
# practice: back, three-quarter back, side and three-quarter front light stand 45 degrees apart);
# three-quarter front light is called front light and keeps its side.
BACK_HOURS = 0.75
THREE_QUARTER_HOURS = 2.25
SIDE_HOURS = 3.75
FRONT_HOURS = 5.25  # from here on front light has no side


def light_name(clock: float) -> tuple[LightName, Side | None]:
    """Name a clock position, with the side from which the light comes.

    Within 0.75 h of 12 it is back light, to 2.25 h three-quarter back light, to 3.75 h side
    light, beyond front light. Back light and front light within 0.75 h of 12 and 6 have no side.
    """
    hours = clock_difference_hours(clock, 12.0)
    apart = abs(hours)
    side: Side | None = "right" if hours > 0 else "left"
    if apart < BACK_HOURS:
        return "back light", None
    if apart < THREE_QUARTER_HOURS:
        return "three-quarter back light", side
    if apart <= SIDE_HOURS:
        return "side light", side
    return "front light", side if apart <= FRONT_HOURS else None


def clock_mirrored(clock: float) -> float:
    """What a clock position becomes when left and right are exchanged; in (0, 12]."""
    return 12.0 - clock if clock < 12.0 else 12.0


@dataclass(frozen=True, slots=True)
class Light:
    """Where the key light stands.

    Attributes
    ----------
    clock : float
        In (0, 12]: 12 behind the subject, 3 right, 6 at the camera, 9 left; the quantity's
        tolerance is in hours.
    """

    clock: float

    @property
    def name(self) -> LightName:
        """Back, three-quarter back, side or front light."""
        return light_name(self.clock)[0]

    @property
    def side(self) -> Side | None:
        """From which side it comes; None for plain back and front light."""
        return light_name(self.clock)[1]
