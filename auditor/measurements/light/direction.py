"""What a light direction is, and what photographers call it."""

from __future__ import annotations

from dataclasses import dataclass

from auditor.vocabulary.light import LightName, LightSide, light_name


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
    def side(self) -> LightSide | None:
        """From which side it comes; None for plain back and front light."""
        return light_name(self.clock)[1]
