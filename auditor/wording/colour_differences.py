"""Colours in words: what one is called, and how it differs from another."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from auditor.colorimetry import (
    Lab,
    colour_difference,
    lab_from_hex,
    lab_from_linear,
    linear_from_lab,
)

# Below this chroma (CIELAB) a colour is seen as a grey with a cast (common practice, no source).
NEUTRAL_CHROMA = 12.0
# Upper ends of lightness (CIELAB) of what is called so; common practice, no source.
GREYS = (
    (20.0, "black"),
    (40.0, "dark grey"),
    (70.0, "grey"),
    (92.0, "pale grey"),
    (101.0, "white"),
)
# Upper ends of the CIELAB hue angle in degrees, between the hues of the named colours of CSS.
HUES = (
    (15.0, "pink"),
    (50.0, "red"),
    (80.0, "orange"),
    (115.0, "yellow"),
    (175.0, "green"),
    (222.0, "blue-green"),
    (310.0, "blue"),
    (340.0, "purple"),
    (360.0, "pink"),
)
# An orange that is dark, or weak and of middle lightness, is called brown, a weak and light orange
# or yellow beige (common practice, no source; chroma and lightness in CIELAB).
BROWN_LIGHTNESS, WEAK_CHROMA, BEIGE_LIGHTNESS = 50.0, 35.0, 65.0
# CIE 94 (CIE 116-1995, from memory): differences of chroma and hue are seen less in strong colours.
CHROMA_WEIGHT, HUE_WEIGHT = 0.045, 0.015
LEAST_SHARE_OF_LARGEST = 0.5  # a smaller component would not be what one sees


@dataclass(frozen=True, slots=True)
class Nearest:
    """A planned colour, the measured colour nearest to it, and how far they are apart."""

    planned: str
    measured: str
    difference: float


def nearest(planned: list[str], measured: list[str]) -> list[Nearest]:
    """Give each planned colour (``#rrggbb``) the nearest measured one; `measured` not empty."""
    labs = {colour: lab_from_hex(colour) for colour in measured}
    found = []
    for colour in planned:
        lab = lab_from_hex(colour)
        apart = {other: colour_difference(lab, other_lab) for other, other_lab in labs.items()}
        best = min(apart, key=lambda other: apart[other])
        found.append(Nearest(colour, best, apart[best]))
    return found


def colour_name(colour: str) -> str:
    """Name a colour, given as ``#rrggbb``."""
    lightness, a, b = lab_from_hex(colour)
    chroma = math.hypot(a, b)
    if chroma < NEUTRAL_CHROMA:
        return next(name for end, name in GREYS if lightness < end)
    hue = math.degrees(math.atan2(b, a)) % 360
    name = next(name for end, name in HUES if hue <= end)
    weak = chroma < WEAK_CHROMA
    if name in {"orange", "yellow"} and weak and lightness >= BEIGE_LIGHTNESS:
        return "beige"
    if name == "orange" and (weak or lightness < BROWN_LIGHTNESS):
        return "brown"
    return name


def difference_words(planned: str, measured: str) -> list[str]:
    """Say how a colour differs from the planned one, the largest component first."""
    sizes = _components(lab_from_hex(planned), lab_from_hex(measured))
    largest = max(sizes.values())
    if largest == 0:
        return []
    kept = [word for word, size in sizes.items() if size >= LEAST_SHARE_OF_LARGEST * largest]
    return sorted(kept, key=lambda word: -sizes[word])


def _components(planned: Lab, measured: Lab) -> dict[str, float]:
    """Sizes of the components in steps of about equal visibility, by their words.

    Against a grey every colour is warmer or cooler, redder or greener. Of a strong colour the part
    along its own hue is told as colourfulness, and only what is left as a change of hue.
    """
    lightness, a, b = (after - before for before, after in zip(planned, measured, strict=True))
    before, after = math.hypot(*planned[1:]), math.hypot(*measured[1:])
    sizes = {"lighter" if lightness > 0 else "darker": abs(lightness)}
    if before >= NEUTRAL_CHROMA:
        along = (a * planned[1] + b * planned[2]) / before
        a, b = a - along * planned[1] / before, b - along * planned[2] / before
        chroma = abs(after - before) / (1 + CHROMA_WEIGHT * (before + after) / 2)
        sizes["more colourful" if after > before else "less colourful"] = chroma
    hue_scale = 1 + HUE_WEIGHT * (before + after) / 2
    warmth = "warmer" if b > 0 else "cooler"
    redness = "redder" if a > 0 else "greener"
    return {**sizes, warmth: abs(b) / hue_scale, redness: abs(a) / hue_scale}


def exposure_explains(planned: str, measured: str, exposure_ev: float, tolerance: float) -> bool:
    """Whether a colour would be as planned, had the picture been exposed like the others.

    Parameters
    ----------
    planned, measured : str
        ``#rrggbb``.
    exposure_ev : float
        How much lighter the picture is than the others, EV.
    tolerance : float
        CIEDE2000.
    """
    words = difference_words(planned, measured)
    if words[:1] != ["lighter" if exposure_ev > 0 else "darker"]:
        return False
    linear = linear_from_lab(np.array(lab_from_hex(measured))) * 2.0**-exposure_ev
    lightness, a, b = (float(part) for part in lab_from_linear(linear))
    return colour_difference(lab_from_hex(planned), (lightness, a, b)) <= tolerance
