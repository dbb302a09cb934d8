"""A light direction, and its names in photography."""

from __future__ import annotations

from dataclasses import dataclass

from auditor.vocabulary.light import LightName, LightSide, light_name


def clock_mirrored(clock: float) -> float:
    """Clock position in the mirror image; in (0, 12]."""
    return 12.0 - clock if clock < 12.0 else 12.0


@dataclass(frozen=True, slots=True)
class Light:
    """Direction of the key light.

    Attributes
    ----------
    clock : float
        In (0, 12]: 12 behind the subject, 3 right, 6 at the camera, 9 left; the quantity's
        tolerance is in hours.
    """

    clock: float

    @property
    def name(self) -> LightName:
        """Name of the direction: back, three-quarter back, side or front light."""
        return light_name(self.clock)[0]

    @property
    def side(self) -> LightSide | None:
        """Side from which it comes; None for plain back and front light."""
        return light_name(self.clock)[1]
