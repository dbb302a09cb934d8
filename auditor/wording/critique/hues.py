"""The part of the hue circle in which a colour lies."""

from __future__ import annotations

from typing import Literal

from auditor.colorimetry import Lab
from auditor.wording.colour_names import NEUTRAL_CHROMA, chroma, hue_deg

Part = Literal["neutral", "warm", "green", "cool", "pink"]
# Ends of the parts of the hue circle in degrees of CIELAB hue (our choice, no source): red to
# yellow, yellow green to green, turquoise to blue, purple to pink.
_PARTS: tuple[tuple[float, Part], ...] = (
    (15.0, "pink"),
    (96.0, "warm"),
    (180.0, "green"),
    (300.0, "cool"),
    (360.0, "pink"),
)


def hue_part(lab: Lab) -> Part:
    """The part of the hue circle in which a colour lies; neutral where it has hardly any hue."""
    if chroma(lab) < NEUTRAL_CHROMA:
        return "neutral"
    return next((part for end, part in _PARTS if hue_deg(lab) <= end), "pink")


def hues_apart_deg(first: Lab, second: Lab) -> float:
    """Angle between two hues, in [0, 180] degrees."""
    apart = abs(hue_deg(first) - hue_deg(second))
    return min(apart, 360 - apart)
