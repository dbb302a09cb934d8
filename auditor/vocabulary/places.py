"""Names of places in the frame, and the positions that they mean.

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
A centre may be added: "upper centre" is "top", "left of centre" is "left".
"""

from __future__ import annotations

from auditor.geometry import GOLDEN_RATIO, Point
from auditor.vocabulary.plain_words import plain_words

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
# The middle fifth of the frame is called the centre: the line of a third, at 0.33, is clearly off
# it, and so is that of the golden ratio, at 0.38 (common practice, no source).
CENTRE_FROM, CENTRE_TO = 0.4, 0.6

_NEAR_THIRD = 1 / 3
_NEAR_GOLDEN = 1 - 1 / GOLDEN_RATIO

# -1 is the near line (left, top), +1 the far line (right, bottom) of a pair.
_ACROSS = {"left": -1, "right": 1}
_DOWN = {"top": -1, "upper": -1, "bottom": 1, "lower": 1}
_CENTRE = frozenset({"centre", "center", "middle", "central"})


def point_of_place(text: str, technique: str | None) -> Point | None:
    """Turn the words of a place into the position that they mean under a technique.

    Returns
    -------
    Point or None
        None where the words name no place.
    """
    words = plain_words(text).replace(" of the ", " ").replace(" of ", " ").split()
    across = [_ACROSS[word] for word in words if word in _ACROSS]
    down = [_DOWN[word] for word in words if word in _DOWN]
    n_known = len(across) + len(down) + sum(word in _CENTRE for word in words)
    if not words or n_known != len(words) or len(across) > 1 or len(down) > 1:
        return None
    near = _NEAR_GOLDEN if technique == "golden ratio" else _NEAR_THIRD
    from_middle = 0.5 - near
    return Point(0.5 + from_middle * sum(across), 0.5 + from_middle * sum(down))


def place_words(x: float, y: float) -> str:
    """Name the part of the frame in which a position lies."""
    down = "upper" if y < CENTRE_FROM else "lower" if y > CENTRE_TO else ""
    across = "left" if x < CENTRE_FROM else "right" if x > CENTRE_TO else ""
    if down and across:
        return f"{down} {across}"
    if across:
        return f"{across} of centre"
    return f"{down} centre".strip()
