"""Families of colours: what a colour is called at a glance.

Limits are in CIELAB (D65): lightness L*, chroma C* and hue angle in degrees. All are our choice,
by eye on named colours; no source.
"""

from __future__ import annotations

import math
from enum import StrEnum

from auditor.colorimetry import Lab

MOST_NEUTRAL_CHROMA = 9.0  # below it a colour is called by its lightness
MOST_DARK_CHROMA = 14.0  # of a very dark colour, whose hue is hardly seen
BLACK_LIGHTNESS, WHITE_LIGHTNESS = 24.0, 82.0
LIGHT_LIGHTNESS = 62.0  # from here on a dull yellowish colour is beige, below it brown
VIVID_CHROMA = 38.0  # from here on orange and yellow are seen, not brown and beige
RED_CHROMA = 30.0
ORANGE_LIGHTNESS = 48.0  # a darker orange is a brown
PINK_LIGHTNESS = 58.0  # a lighter red is a pink
PURPLE_HUE, PINK_HUE, RED_HUE, ORANGE_HUE = 300.0, 340.0, 15.0, 48.0
YELLOW_HUE, GREEN_HUE, BLUE_HUE = 82.0, 108.0, 190.0


class ColourFamily(StrEnum):
    """A family of colours, the neutral ones first."""

    WHITE = "white"
    GREY = "grey"
    BLACK = "black"
    BEIGE = "beige"
    BROWN = "brown"
    RED = "red"
    ORANGE = "orange"
    YELLOW = "yellow"
    GREEN = "green"
    BLUE = "blue"
    PURPLE = "purple"
    PINK = "pink"


def colour_family(lab: Lab) -> ColourFamily:
    """The family that a CIELAB colour belongs to."""
    lightness, a, b = lab
    chroma, hue = math.hypot(a, b), math.degrees(math.atan2(b, a)) % 360
    is_dark = lightness < BLACK_LIGHTNESS and chroma < MOST_DARK_CHROMA
    if chroma < MOST_NEUTRAL_CHROMA or is_dark:
        if lightness < BLACK_LIGHTNESS:
            return ColourFamily.BLACK
        return ColourFamily.WHITE if lightness >= WHITE_LIGHTNESS else ColourFamily.GREY
    if GREEN_HUE <= hue < BLUE_HUE:
        return ColourFamily.GREEN
    if BLUE_HUE <= hue < PURPLE_HUE:
        return ColourFamily.BLUE
    if PURPLE_HUE <= hue < PINK_HUE:
        return ColourFamily.PURPLE
    return _warm(lightness, chroma, hue)


def _warm(lightness: float, chroma: float, hue: float) -> ColourFamily:
    """The family of a colour from pink over red and orange to yellow."""
    if hue >= PINK_HUE or hue < RED_HUE:
        return ColourFamily.PINK if lightness >= PINK_LIGHTNESS else ColourFamily.RED
    dull = ColourFamily.BEIGE if lightness >= LIGHT_LIGHTNESS else ColourFamily.BROWN
    if hue < ORANGE_HUE:
        if chroma < RED_CHROMA:
            return dull
        return ColourFamily.PINK if lightness >= LIGHT_LIGHTNESS else ColourFamily.RED
    if chroma < VIVID_CHROMA:
        return dull
    if hue < YELLOW_HUE:
        return ColourFamily.ORANGE if lightness >= ORANGE_LIGHTNESS else ColourFamily.BROWN
    return ColourFamily.YELLOW if lightness >= ORANGE_LIGHTNESS else ColourFamily.BROWN
