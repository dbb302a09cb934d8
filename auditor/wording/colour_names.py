"""What a colour is called on the page and on sheets: one plain name everywhere."""

from __future__ import annotations

import math
from collections.abc import Iterable
from functools import cache

import numpy as np
from numpy.typing import NDArray

from auditor.colorimetry import Lab, ciede2000, lab_from_hex
from auditor.vocabulary.colour_table import REGIONS

# Words of the vocabulary that name a colour, with what is written for it. Names of materials would
# say what a thing is made of, which nobody measured.
WORDS = {
    "white": "white",
    "marble": "white",
    "cream": "cream",
    "light grey": "light grey",
    "silver": "light grey",
    "grey": "grey",
    "concrete": "grey",
    "granite": "grey",
    "slate": "dark grey",
    "charcoal": "dark grey",
    "black": "black",
    "stone": "warm grey",
    "taupe": "warm grey",
    "linen": "beige",
    "beige": "beige",
    "light wood": "light brown",
    "rattan": "light brown",
    "wood": "brown",
    "brown": "brown",
    "copper": "reddish brown",
    "terracotta": "reddish brown",
    "rust": "reddish brown",
    "dark wood": "dark brown",
    "chocolate": "dark brown",
    "honey": "golden brown",
    "gold": "golden brown",
    "mustard": "golden brown",
    "orange": "orange",
    "peach": "peach",
    "yellow": "yellow",
    "pale yellow": "pale yellow",
    "red": "red",
    "burgundy": "dark red",
    "pink": "pink",
    "blush": "pale pink",
    "dusty rose": "dusty rose",
    "green": "green",
    "dark green": "dark green",
    "pale green": "pale green",
    "sage": "grey green",
    "olive": "olive",
    "blue": "blue",
    "pale blue": "pale blue",
    "dark blue": "dark blue",
    "grey blue": "grey blue",
    "turquoise": "turquoise",
    "teal": "teal",
    "purple": "purple",
    "plum": "plum",
    "lavender": "lavender",
}
_MIDDLES = tuple(
    (WORDS[region.words], lab_from_hex(code))
    for region in REGIONS
    if region.words in WORDS
    for code in region.middles.split()
)

NEUTRAL_CHROMA = 12.0
"""CIELAB chroma below which a colour of a large area looks grey, white or black (common practice,
no source)."""

RED_CHROMA, RED_HUE_DEG = 45.0, 32.0
"""CIELAB chroma below which, and hue from which, a dark red looks brown (our choice after looking
at pictures: beetroot is below that hue, stained wood above)."""

MOST_REMEMBERED = 4096  # colours whose names are remembered: bounds the memory of a large set
_NEUTRAL_NAMES = frozenset(
    {"white", "cream", "light grey", "grey", "dark grey", "black", "warm grey"}
)
_EITHER = frozenset({"cream", "beige"})


_remembered: dict[str, str] = {}


def colour_name(hex_colour: str) -> str:
    """Name a colour given as ``#rrggbb``: ``"warm grey"``, ``"reddish brown"``.

    The nearest colour that has a name here (CIEDE2000). What has hardly any hue is named as a grey,
    cream or beige, and other colours never as a grey.
    """
    if hex_colour not in _remembered:
        remember_names([hex_colour])
    return _remembered[hex_colour]


def remember_names(hex_colours: Iterable[str]) -> None:
    """Name colours in one computation, for `colour_name`: one by one takes many times as long."""
    new = [colour for colour in dict.fromkeys(hex_colours) if colour not in _remembered]
    if not new:
        return
    if len(_remembered) + len(new) > MOST_REMEMBERED:
        _remembered.clear()
    labs = np.array([lab_from_hex(colour) for colour in new])
    names, middles, is_for_neutral, is_for_other = _named()
    is_neutral = np.array([chroma(lab) < NEUTRAL_CHROMA for lab in labs.tolist()])
    may_have = np.where(is_neutral[:, np.newaxis], is_for_neutral, is_for_other)
    differences = np.where(may_have, ciede2000(labs[:, np.newaxis], middles), np.inf)
    for colour, lab, nearest in zip(new, labs.tolist(), differences.argmin(axis=1), strict=True):
        name = names[nearest]
        is_brown = chroma(lab) < RED_CHROMA and RED_HUE_DEG < hue_deg(lab) < HALF_TURN_DEG
        _remembered[colour] = "reddish brown" if name in _REDS and is_brown else name


@cache
def _named() -> tuple[tuple[str, ...], NDArray[np.float64], NDArray[np.bool_], NDArray[np.bool_]]:
    """Names, their CIELAB values (N, 3), and which of them are for greys, and for other colours."""
    names = tuple(name for name, _ in _MIDDLES)
    is_grey = np.array([name in _NEUTRAL_NAMES for name in names])
    is_either = np.array([name in _EITHER for name in names])
    return names, np.array([lab for _, lab in _MIDDLES]), is_grey | is_either, ~is_grey | is_either


HALF_TURN_DEG = 180.0  # beyond it red turns to pink, not to brown
_REDS = frozenset({"red", "dark red"})


def chroma(lab: Lab) -> float:
    """CIELAB chroma C*."""
    return math.hypot(lab[1], lab[2])


def hue_deg(lab: Lab) -> float:
    """CIELAB hue, in [0, 360) degrees."""
    return math.degrees(math.atan2(lab[2], lab[1])) % 360


def names_apart(first: str, second: str) -> tuple[str, str]:
    """Names of two colours; with their codes where both have the same name."""
    names = colour_name(first), colour_name(second)
    if names[0] != names[1]:
        return names
    return f"{names[0]} ({first})", f"{names[1]} ({second})"
