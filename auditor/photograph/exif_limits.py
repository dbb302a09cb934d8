"""What a camera can have written: values of EXIF outside of these limits are broken fields.

The limits are wide: they leave out what no camera has, not what is rare.
"""

from __future__ import annotations

from datetime import datetime
from typing import NamedTuple


class Limits(NamedTuple):
    """The smallest and the largest value that is kept."""

    least: float
    most: float

    def kept(self, value: float | None) -> float | None:
        """The value, or None if it is outside."""
        return value if value is not None and self.least <= value <= self.most else None


# The fastest lenses for photographs have f/0.7, and a lens in air cannot pass f/0.5; pinhole
# cameras reach about f/256 (from memory).
F_NUMBERS = Limits(0.5, 256)

# Seconds. The fastest electronic shutters have about 1/180 000 s; a longer exposure than a day is
# none of food (from memory).
EXPOSURE_TIMES_S = Limits(1e-6, 86_400)

# Cameras reach about 4 million, and film went down to about 1 (from memory).
ISO_SPEEDS = Limits(1, 10_000_000)

# Millimetres. The lenses of phones go down to about 1.5 mm, the longest made for cameras have
# 5200 mm (from memory). Of the equivalent for 36 by 24 mm the same.
FOCAL_LENGTHS_MM = Limits(0.5, 10_000)
FOCAL_LENGTHS_35MM_MM = Limits(1, 20_000)

# The first photograph is of 1826, and scans may keep the date of what was scanned. A clock that was
# never set may be far in the future, but not by lifetimes.
YEARS = Limits(1826, 2100)

# Width over height or its inverse: panoramas of a full turn stay below (our choice, no source).
MOST_ELONGATED = 20.0


def kept_time(written: datetime) -> datetime | None:
    """The time, or None if no camera can have written it."""
    return None if YEARS.kept(written.year) is None else written
