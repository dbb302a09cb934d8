"""The word that a plan has for a colour, for the comments of a draft."""

from __future__ import annotations

from functools import cache

import numpy as np
from numpy.typing import NDArray

from auditor.colorimetry import ciede2000, lab_from_hex, nearest_named_colour
from auditor.vocabulary.colour_table import FAMILIES, REGIONS

# CIEDE2000 up to which a colour has the name of the nearest one that a plan knows: the tolerance of
# a palette. Of 2419 colours of finished pictures of dishes all but 8 have one so near.
NEAR_ENOUGH = 12.0
# Families say too little of a single colour.
_OF_FAMILIES = frozenset(one.words for one in FAMILIES)
# The words of which CSS makes its names of two or three.
_WORDS = [
    "alice",
    "almond",
    "antique",
    "aqua",
    "aquamarine",
    "azure",
    "beige",
    "bisque",
    "black",
    "blanched",
    "blossom",
    "blue",
    "blush",
    "brick",
    "brown",
    "burly",
    "cadet",
    "chartreuse",
    "chiffon",
    "chocolate",
    "coral",
    "cornflower",
    "cornsilk",
    "cream",
    "crimson",
    "cyan",
    "dark",
    "deep",
    "dim",
    "dodger",
    "drab",
    "dust",
    "fire",
    "floral",
    "forest",
    "fuchsia",
    "gainsboro",
    "ghost",
    "gold",
    "golden",
    "goldenrod",
    "green",
    "grey",
    "honeydew",
    "hot",
    "indian",
    "indigo",
    "ivory",
    "khaki",
    "lace",
    "lavender",
    "lawn",
    "lemon",
    "light",
    "lime",
    "linen",
    "magenta",
    "maroon",
    "medium",
    "midnight",
    "mint",
    "misty",
    "moccasin",
    "navajo",
    "navy",
    "old",
    "olive",
    "orange",
    "orchid",
    "pale",
    "papaya",
    "peach",
    "peru",
    "pink",
    "plum",
    "powder",
    "puff",
    "purple",
    "rebecca",
    "red",
    "rod",
    "rose",
    "rosy",
    "royal",
    "saddle",
    "salmon",
    "sandy",
    "sea",
    "seashell",
    "shell",
    "sienna",
    "silver",
    "sky",
    "slate",
    "smoke",
    "snow",
    "spring",
    "steel",
    "tan",
    "teal",
    "thistle",
    "tomato",
    "turquoise",
    "violet",
    "wheat",
    "whip",
    "white",
    "wood",
    "yellow",
]


@cache
def plan_colour_name(hex_colour: str) -> str:
    """Name a colour given as ``#rrggbb`` as a plan does: ``"stone"``, ``"terracotta"``.

    Where none of the plan's own names is near, the nearest one of CSS, its words apart.
    """
    names, middles = _named_middles()
    lab = lab_from_hex(hex_colour)
    differences = ciede2000(np.array([lab]), middles)
    best = int(np.argmin(differences))
    if differences[best] <= NEAR_ENOUGH:
        return names[best]
    return in_words(nearest_named_colour(lab).name)


def in_words(css_name: str) -> str:
    """A name of CSS with its words apart: ``"yellow green"``."""
    return next(iter(_splits(css_name)), css_name)


def _splits(name: str) -> list[str]:
    """Every way to write a name as known words, the one with the fewest words first."""
    if not name:
        return [""]
    found = [
        f"{word} {rest}".strip()
        for word in _WORDS
        if name.startswith(word)
        for rest in _splits(name.removeprefix(word))
    ]
    return sorted(found, key=lambda text: text.count(" "))


@cache
def _named_middles() -> tuple[tuple[str, ...], NDArray[np.float64]]:
    """Each middle of the colours that a plan knows by name: its name, and its CIELAB values."""
    accepted = [one.accepted(one.words) for one in REGIONS if one.words not in _OF_FAMILIES]
    pairs = [(one.words, middle) for one in accepted for middle in (one.hex, *one.more)]
    return tuple(name for name, _ in pairs), np.array([lab_from_hex(code) for _, code in pairs])
