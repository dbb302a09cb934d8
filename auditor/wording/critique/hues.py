"""How far apart the hues of two colours are."""

from __future__ import annotations

from auditor.colorimetry import Lab
from auditor.wording.colour_names import hue_deg


def hues_apart_deg(first: Lab, second: Lab) -> float:
    """Angle between two hues, in [0, 180] degrees."""
    apart = abs(hue_deg(first) - hue_deg(second))
    return min(apart, 360 - apart)
