"""What is slanted to the eye."""

from __future__ import annotations

from auditor.geometry import angle_difference_deg

MIN_SLANT_DEG = 12.0  # nearer to level or upright a line reads as one of these; common practice


def is_slanted(angle_deg: float) -> bool:
    """Whether a line is neither level nor upright to the eye."""
    return all(angle_difference_deg(angle_deg, still) >= MIN_SLANT_DEG for still in (0, 90))
