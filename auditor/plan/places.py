"""The words of a plan: places in the frame, directions of light, camera angles.

==============================  ==============  ==============
place in words                  thirds          golden ratio
==============================  ==============  ==============
centre (center, middle)         1/2, 1/2        1/2, 1/2
left                            1/3, 1/2        0.382, 1/2
right                           2/3, 1/2        0.618, 1/2
top (upper)                     1/2, 1/3        1/2, 0.382
bottom (lower)                  1/2, 2/3        1/2, 0.618
upper left (top left)           1/3, 1/3        0.382, 0.382
upper right (top right)         2/3, 1/3        0.618, 0.382
lower left (bottom left)        1/3, 2/3        0.382, 0.618
lower right (bottom right)      2/3, 2/3        0.618, 0.618
==============================  ==============  ==============

The right-hand column holds where the technique is the golden ratio (1/phi = 0.618), the other for
every other technique and for none: thirds are what "upper right" means among photographers
(common practice, no source). Order and hyphens do not matter: "right, upper" is "upper-right".

======================================  =====  ======================================
light in words                          clock  also
======================================  =====  ======================================
back                                    12     behind, back light, backlit
back right, three-quarter back right    1.5
right                                   3      side right, side light right
front right, three-quarter front right  4.5
front                                   6      front light, frontal
front left, three-quarter front left    7.5
left                                    9      side left, side light left
back left, three-quarter back left      10.5
======================================  =====  ======================================

===================  =============  ==================================
camera in words      elevation      also
===================  =============  ==================================
overhead             90 degrees     flat lay, top down, bird's eye
three-quarter        45 degrees     three-quarter view, 45
straight on          0 degrees      eye level, level, table level
===================  =============  ==================================

These three are the camera angles that food photographers name (common practice, no source).
"""

from __future__ import annotations

import re

from auditor.geometry import GOLDEN_RATIO, Point

_NEAR_THIRD = 1 / 3
_NEAR_GOLDEN = 1 - 1 / GOLDEN_RATIO

# -1 is the near line (left, top), +1 the far line (right, bottom) of a pair.
_ACROSS = {"left": -1, "right": 1}
_DOWN = {"top": -1, "upper": -1, "bottom": 1, "lower": 1}
_CENTRE = frozenset({"centre", "center", "middle", "central"})

PLACE_WORDS = (
    "centre",
    "left",
    "right",
    "top",
    "bottom",
    "upper left",
    "upper right",
    "lower left",
    "lower right",
)

_LIGHT_FILLERS = frozenset({"light", "lighting", "side", "from", "the", "three", "quarter"})
_LIGHT_SYNONYMS = {
    "behind": "back",
    "backlight": "back",
    "backlit": "back",
    "rear": "back",
    "frontal": "front",
}
_LIGHT_CLOCK = {
    frozenset({"back"}): 12.0,
    frozenset({"back", "right"}): 1.5,
    frozenset({"right"}): 3.0,
    frozenset({"front", "right"}): 4.5,
    frozenset({"front"}): 6.0,
    frozenset({"front", "left"}): 7.5,
    frozenset({"left"}): 9.0,
    frozenset({"back", "left"}): 10.5,
}
LIGHT_WORDS = (
    "back",
    "back right",
    "right",
    "front right",
    "front",
    "front left",
    "left",
    "back left",
)

_ELEVATION_DEG = {
    "overhead": 90.0,
    "flat lay": 90.0,
    "top down": 90.0,
    "birds eye": 90.0,
    "birds eye view": 90.0,
    "three quarter": 45.0,
    "three quarter view": 45.0,
    "45": 45.0,
    "straight on": 0.0,
    "eye level": 0.0,
    "table level": 0.0,
    "level": 0.0,
}
ELEVATION_WORDS = ("overhead", "three-quarter", "straight on")


def plain_words(text: str) -> str:
    """Lower-case words with single spaces: ``"Upper-Right "`` becomes ``"upper right"``."""
    without_apostrophes = re.sub(r"['\u2019]", "", text.casefold())
    return " ".join(re.findall(r"\w+", without_apostrophes.replace("_", " ")))


def point_of_place(text: str, technique: str | None) -> Point | None:
    """Turn the words of a place into the position that they mean under a technique.

    Returns
    -------
    Point or None
        None where the words name no place.
    """
    words = plain_words(text).split()
    across = [_ACROSS[word] for word in words if word in _ACROSS]
    down = [_DOWN[word] for word in words if word in _DOWN]
    n_known = len(across) + len(down) + sum(word in _CENTRE for word in words)
    if not words or n_known != len(words) or len(across) > 1 or len(down) > 1:
        return None
    near = _NEAR_GOLDEN if technique == "golden ratio" else _NEAR_THIRD
    from_middle = 0.5 - near
    return Point(0.5 + from_middle * sum(across), 0.5 + from_middle * sum(down))


def clock_of_light(text: str) -> float | None:
    """Turn the words for where light comes from into a clock position; None where unknown."""
    words = (_LIGHT_SYNONYMS.get(word, word) for word in plain_words(text).split())
    return _LIGHT_CLOCK.get(frozenset(word for word in words if word not in _LIGHT_FILLERS))


def elevation_deg_of_words(text: str) -> float | None:
    """Turn the words for a camera angle into degrees above the table; None where unknown."""
    return _ELEVATION_DEG.get(plain_words(text))
