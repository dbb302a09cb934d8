"""In what a colour differs from another: lightness, chroma, warmth, redness."""

from __future__ import annotations

import math
from typing import Literal

from auditor.colorimetry.cielab import Lab

Component = Literal["lightness", "chroma", "warmth", "redness"]

# Below this chroma (CIELAB) a colour is seen as a grey with a cast (common practice, no source).
NEUTRAL_CHROMA = 12.0
# CIE 94 (CIE 116-1995, from memory): differences of chroma and hue are seen less in strong colours.
CHROMA_WEIGHT, HUE_WEIGHT = 0.045, 0.015


def difference_components(first: Lab, second: Lab) -> dict[Component, float]:
    """How a second colour differs from a first, in steps of about equal visibility.

    Of a grey every change of hue is warmth or redness. Of a strong colour the part along its own
    hue is chroma, and only the rest is a change of hue.

    Parameters
    ----------
    first, second : (3,) tuple of float
        CIELAB.

    Returns
    -------
    dict of str to float
        Signed: positive is lighter, more colourful, warmer (yellower), redder. ``"chroma"`` is
        missing where the first colour is a grey.
    """
    lightness, a, b = (after - before for before, after in zip(first, second, strict=True))
    before, after = math.hypot(*first[1:]), math.hypot(*second[1:])
    sizes: dict[Component, float] = {"lightness": lightness}
    if before >= NEUTRAL_CHROMA:
        along = (a * first[1] + b * first[2]) / before
        a, b = a - along * first[1] / before, b - along * first[2] / before
        sizes["chroma"] = (after - before) / (1 + CHROMA_WEIGHT * (before + after) / 2)
    hue_scale = 1 + HUE_WEIGHT * (before + after) / 2
    return {**sizes, "warmth": b / hue_scale, "redness": a / hue_scale}


def largest_component(first: Lab, second: Lab) -> tuple[Component, bool] | None:
    """The component in which two colours differ most, and whether it is positive.

    None for equal colours.
    """
    sizes = difference_components(first, second)
    name = max(sizes, key=lambda component: abs(sizes[component]))
    return None if sizes[name] == 0 else (name, sizes[name] > 0)
