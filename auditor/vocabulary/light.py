"""Names of light directions, as photographers use them, and the clock positions that they mean.

Seen from above on the table, the camera standing at 6: 12 is behind the subject, 9 on the left. A
direction in words means the arc of its name, three quarters of an hour either way: where a
measured light has that name. "Side light" without a side is either side.

Words for how hard the light is (soft, diffused) say nothing about where it comes from: they are
understood and not compared. Light from above has no place on the dial; a picture shows it by
showing no side.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import Literal

from auditor.accepted import Accepted
from auditor.geometry import clock_difference_hours
from auditor.vocabulary.listed import Listed, word_set
from auditor.vocabulary.number_phrases import range_of
from auditor.vocabulary.plain_words import plain_words

DIAL_HOURS, MINUTES = 12.0, 60.0

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
# Each by the word that a direction is named with.
_SYNONYMS = {
    "behind": "back",
    "backlight": "back",
    "backlighting": "back",
    "backlit": "back",
    "rear": "back",
    "rim": "back",
    "frontal": "front",
    "frontlit": "front",
    "sidelight": "side",
    "sidelit": "side",
    "sides": "side",
    "lefthand": "left",
    "righthand": "right",
}
# What is planned and what is found where the light has no place on the dial.
FROM_ABOVE, NO_SIDE = "from above", "no side"
ABOVE_WORDS = ("above", "from above", "overhead", "top light", "toplight", "straight above")
_ABOVE = frozenset({"above", "overhead", "top", "toplight", "toplit", "straight", "directly"})
# How hard the light is, and what it comes from: no direction.
QUALITY_WORDS = (
    "soft",
    "diffused",
    "hard",
    "harsh",
    "natural",
    "daylight",
    "window light",
    "sunlight",
    "dappled",
    "moody",
    "bright",
    "even",
    "artificial",
    "flash",
)
# Of these a photographer would expect that they are compared.
HARDNESS = frozenset({"soft", "diffused", "diffuse", "hard", "harsh", "even", "flat", "dappled"})
_QUALITIES = word_set(
    "soft diffused diffuse hard harsh natural daylight window sunlight dappled moody bright even "
    "artificial flash sun sunny gentle flat morning afternoon evening north northern softbox "
    "goldenhour winter summer spring autumn hazy cloudy overcast setting rising sunset sunrise "
    "ambient studio strobe indirect bounced reflected candle candlelight lamp sharp crisp"
)
# These say nothing of light unless another word does.
_DEGREES_OF = word_set("strong big large small single low high late early very slightly")
_FILLERS = word_set(
    "either one or light lighting lit from the three quarter 3 4 camera a an at on to of hand key "
    "main coming in comes and with through corner degrees degree 45"
)
_ALL_WORDS = frozenset({"back", "front", "left", "right", "side"})
_GOLDEN_HOUR = "goldenhour"  # one word of two
_HIGH_IN_PICTURE = frozenset({"upper", "top"})
_ARC_HOURS = BACK_HOURS  # half an arc of 45 degrees

_DIAL = re.compile(
    r"(?:at\s+)?(1[0-2]|0?[0-9])(?:[:.h]([0-5][0-9])|[.,]([0-9]))?\s*(?:o\s?['’]?\s?clock|h|hours?)?"
)


@dataclass(frozen=True, slots=True)
class LightWords:
    """What words for light say.

    Attributes
    ----------
    clock : Accepted or None
        Directions on the dial; None where they name none.
    is_above : bool
        Whether it may come from above.
    qualities : tuple of str
        Words that say nothing about the direction.
    """

    clock: Accepted | None = None
    is_above: bool = False
    qualities: tuple[str, ...] = ()

    @property
    def is_somewhere(self) -> bool:
        """Whether they say where the light comes from."""
        return self.clock is not None or self.is_above


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


def light_of_words(text: str) -> LightWords | None:
    """Read what a text says about light; None for a text that says nothing known."""
    clock = _dial(text) or _dial(_without_qualities(text))
    if clock is not None:
        return LightWords(clock)
    plain = plain_words(text).replace("golden hour", _GOLDEN_HOUR)
    words = [_SYNONYMS.get(word, word) for word in plain.split()]
    qualities = tuple(_quality(word) for word in words if word in _QUALITIES)
    left_out = _QUALITIES | _FILLERS | _DEGREES_OF
    meant = [word for word in words if word not in left_out]
    if not meant:
        return LightWords(qualities=qualities) if qualities else None
    if set(meant) <= _ABOVE:
        return LightWords(is_above=True, qualities=qualities)
    if "back" in meant:
        # Light from behind stands high in the picture: "backlight from the upper right".
        meant = [word for word in meant if word not in _HIGH_IN_PICTURE]
    if not set(meant) <= _ALL_WORDS:
        return None
    if {"three", "quarter"} <= {*words} and not {*meant} & {"left", "right"}:
        meant.append("side")  # three-quarter back light comes from either side
    clocks = _clocks(frozenset(meant))
    if not clocks:
        return None
    return LightWords(_arcs(clocks, _direction_name(clocks)), qualities=qualities)


def _quality(word: str) -> str:
    return "golden hour" if word == _GOLDEN_HOUR else word


def _clocks(words: frozenset[str]) -> tuple[float, ...]:
    """Clock positions of a set of words; both sides where it has a side and does not say which."""
    if "side" not in words or words & {"left", "right"}:
        clock = _CLOCK.get(words - {"side"})
        return () if clock is None else (clock,)
    both = (_CLOCK.get(words - {"side"} | {side}) for side in ("left", "right"))
    return tuple(clock for clock in both if clock is not None)


def _direction_name(clocks: tuple[float, ...]) -> str:
    names = [next(word for word in LIGHT_WORDS if clock_of_light(word) == one) for one in clocks]
    return " or ".join(names) if len(names) == 1 or names != ["left", "right"] else "either side"


def _arcs(clocks: tuple[float, ...], words: str) -> Accepted:
    spans = tuple((clock - _ARC_HOURS, clock + _ARC_HOURS) for clock in clocks)
    return Accepted(clocks[0], spans, words)


def clock_of_light(text: str) -> float | None:
    """The clock position in the middle of a named direction; None where it names no single one."""
    words = (_SYNONYMS.get(word, word) for word in plain_words(text).split())
    left_out = _FILLERS | _QUALITIES | _DEGREES_OF
    meant = frozenset(word for word in words if word not in left_out)
    return _CLOCK.get(meant - {"side"}) if meant & {"back", "front", "left", "right"} else None


def _dial(text: str) -> Accepted | None:
    """A time on the dial, or a range of times clockwise from the first to the last."""
    value = _hours(text.casefold())
    if value is not None:
        return Accepted.exactly(value)
    ends = range_of(text, _hours)
    return None if ends is None else accepted_arc(*ends)


def accepted_arc(first: float, last: float) -> Accepted:
    """The arc from one clock position clockwise to another."""
    hours = (last - first) % DIAL_HOURS
    middle = first + hours / 2
    back = DIAL_HOURS if middle > DIAL_HOURS else 0.0
    return Accepted(middle - back, ((first - back, first - back + hours),))


def _without_qualities(text: str) -> str:
    """The text without what says nothing of the direction; "half past ten" in digits."""
    left_out = _QUALITIES | {"light", "key", "main", "at", "from", "a", "the"}
    kept = [word for word in text.casefold().replace(",", " ").split() if word not in left_out]
    is_clock = bool({"o'clock", "o’clock", "oclock"} & {*kept})
    if kept[:2] == ["half", "past"]:
        return f"{_NUMBER_WORDS.get(kept[-1], kept[-1])}:30"
    return " ".join(_NUMBER_WORDS.get(word, word) if is_clock else word for word in kept)


_NUMBER_WORDS = {
    word: str(number)
    for number, word in enumerate(
        ("one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven",
         "twelve"), start=1
    )
}  # fmt: skip


def _hours(text: str) -> float | None:
    found = _DIAL.fullmatch(text.strip())
    if found is None:
        return None
    hours = float(found[1])
    hours += float(found[2] or 0) / MINUTES + float(f"0.{found[3] or 0}")
    return hours if 0 < hours <= DIAL_HOURS else None


def listed_light() -> tuple[Listed, ...]:
    """The words for light, for the list of words."""
    return (
        *(Listed(word, _listed_arc(word), _LISTED_ALSO.get(word, ())) for word in LIGHT_WORDS),
        Listed("side light", "from the left or from the right", ("either side",)),
        Listed("above", "from nearly above, so that the picture shows no side", ABOVE_WORDS[1:4]),
        Listed("10:30", "as on a clock that lies on the table, the camera at 6", ("10.5",)),
        Listed("9 to 11", "an arc, clockwise from the first to the last"),
        Listed(
            ", ".join(QUALITY_WORDS), "how hard the light is or what it comes from: not compared"
        ),
    )


_LISTED_ALSO = {
    "back": ("backlit", "behind", "rim light"),
    "back left": ("three-quarter back light from the left",),
    "left": ("camera left", "window on the left"),
    "front": ("frontal",),
}


def _listed_arc(word: str) -> str:
    clock = clock_of_light(word) or DIAL_HOURS
    first, last = (
        f"{int(one) % 12 or 12}:{round(one % 1 * MINUTES):02d}"
        for one in (clock - _ARC_HOURS, clock + _ARC_HOURS)
    )
    return f"{first} to {last} on the dial, the camera at 6"
