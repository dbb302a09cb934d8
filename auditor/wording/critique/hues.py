"""Chroma and hue of CIELAB colours."""

from __future__ import annotations

import math

from auditor.colorimetry import Lab


def chroma(lab: Lab) -> float:
    """CIELAB chroma C*."""
    return math.hypot(lab[1], lab[2])


def hue_deg(lab: Lab) -> float:
    """CIELAB hue in [0, 360) degrees: 0 is red to pink, 90 yellow, 180 green, 270 blue."""
    return math.degrees(math.atan2(lab[2], lab[1])) % 360


def hues_apart_deg(first: Lab, second: Lab) -> float:
    """Angle between two hues, in [0, 180] degrees."""
    apart = abs(hue_deg(first) - hue_deg(second))
    return min(apart, 360 - apart)
