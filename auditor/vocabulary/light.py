"""Names of light directions, as photographers use them, and the clock positions that they mean.

======================================  =====  =========================================
light in words                          clock  also
======================================  =====  =========================================
back                                    12     behind, back light, backlit
back right, three-quarter back right    1.5    three-quarter back light from the right
right                                   3      side right, side light from the right
front right, three-quarter front right  4.5    front light from the right
front                                   6      front light, frontal
front left, three-quarter front left    7.5    front light from the left
left                                    9      side left, side light from the left
back left, three-quarter back left      10.5   three-quarter back light from the left
======================================  =====  =========================================
"""

from __future__ import annotations

from typing import Literal

from auditor.geometry import clock_difference_hours
from auditor.vocabulary.plain_words import plain_words

LightName = Literal["back light", "three-quarter back light", "side light", "front light"]
LightSide = Literal["left", "right"]

# Hours from 12. The dial's half is cut at the middles between 12, 1:30, 3 and 4:30 (common
# practice: back, three-quarter back, side and three-quarter front light stand 45 degrees apart);
# three-quarter front light is called front light and keeps its side.
BACK_HOURS = 0.75
THREE_QUARTER_HOURS = 2.25
SIDE_HOURS = 3.75
FRONT_HOURS = 5.25  # beyond it front light has no side

# In the order of the dial, from 12.
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

_CLOCK = {
    frozenset({"back"}): 12.0,
    frozenset({"back", "right"}): 1.5,
    frozenset({"right"}): 3.0,
    frozenset({"front", "right"}): 4.5,
    frozenset({"front"}): 6.0,
    frozenset({"front", "left"}): 7.5,
    frozenset({"left"}): 9.0,
    frozenset({"back", "left"}): 10.5,
}
_FILLERS = frozenset({"light", "lighting", "side", "from", "the", "three", "quarter"})
_SYNONYMS = {
    "behind": "back",
    "backlight": "back",
    "backlit": "back",
    "rear": "back",
    "frontal": "front",
}


def light_name(clock: float) -> tuple[LightName, LightSide | None]:
    """Name a clock position, with the side from which the light comes.

    Within 0.75 h of 12 it is back light, to 2.25 h three-quarter back light, to 3.75 h side
    light, beyond front light. Back light and front light within 0.75 h of 12 and 6 have no side.
    """
    hours = clock_difference_hours(clock, 12.0)
    apart = abs(hours)
    side: LightSide | None = "right" if hours > 0 else "left"
    if apart < BACK_HOURS:
        return "back light", None
    if apart < THREE_QUARTER_HOURS:
        return "three-quarter back light", side
    if apart <= SIDE_HOURS:
        return "side light", side
    return "front light", side if apart <= FRONT_HOURS else None


def light_words(clock: float) -> str:
    """Name a clock position in words: ``"side light from the left"``."""
    name, side = light_name(clock)
    return name if side is None else f"{name} from the {side}"


def clock_of_light(text: str) -> float | None:
    """Turn the words for where light comes from into a clock position; None where unknown."""
    words = (_SYNONYMS.get(word, word) for word in plain_words(text).split())
    return _CLOCK.get(frozenset(word for word in words if word not in _FILLERS))
