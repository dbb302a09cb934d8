"""Names of colours: the nearest named colour of CSS Color Module Level 4, section 6.1."""

from __future__ import annotations

from collections.abc import Sequence
from functools import cache
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray
from PIL import ImageColor

from auditor.colorimetry.ciede2000 import ciede2000
from auditor.colorimetry.cielab import Lab, lab_from_hex


class NamedColour(NamedTuple):
    """The nearest named colour and the CIEDE2000 difference from it."""

    name: str
    difference: float


@cache
def css_colours() -> tuple[tuple[str, ...], NDArray[np.float64]]:
    """Names of all CSS colours, and their CIELAB values, (N, 3).

    Where the standard gives a colour two names, ``grey`` is preferred to ``gray``, otherwise the
    first in alphabetical order (``aqua``, ``fuchsia``).
    """
    by_value: dict[str, str] = {}
    for name in sorted(ImageColor.colormap, key=lambda name: ("gray" in name, name)):
        by_value.setdefault(_hex(name), name)
    labs = np.array([lab_from_hex(value) for value in by_value])
    return tuple(by_value.values()), labs


def _hex(name: str) -> str:
    red, green, blue = ImageColor.getrgb(name)[:3]
    return f"#{red:02x}{green:02x}{blue:02x}"


def nearest_named_colour(lab: Lab) -> NamedColour:
    """Find the CSS colour with the smallest CIEDE2000 difference from a CIELAB colour."""
    return nearest_named_colours([lab])[0]


def nearest_named_colours(colours: Sequence[Lab]) -> list[NamedColour]:
    """`nearest_named_colour` of several colours, in one computation."""
    if not colours:
        return []
    names, labs = css_colours()
    differences = ciede2000(np.array(colours)[:, np.newaxis], labs[np.newaxis])
    best = differences.argmin(axis=1).tolist()
    return [
        NamedColour(names[at], float(row[at])) for at, row in zip(best, differences, strict=True)
    ]
