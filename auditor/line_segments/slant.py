"""The limit between slanted lines and level or upright ones."""

from __future__ import annotations

from auditor.geometry import angle_difference_deg

MIN_SLANT_DEG = 12.0  # a line closer to level or upright looks level or upright; common practice


def is_slanted(angle_deg: float) -> bool:
    """True if a line looks neither level nor upright."""
    return all(angle_difference_deg(angle_deg, still) >= MIN_SLANT_DEG for still in (0, 90))
