"""What to say of a text that is no word of its key.

The message suggests the nearest phrase of the same kind that keeps the written directions, or says
what the text means elsewhere: "backlit" as a place is a light.
"""

from __future__ import annotations

import difflib
import re
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from functools import cache

from auditor.plan.known_mistakes import answer_to
from auditor.plan.known_words import directions_in, known_part
from auditor.plan.written_values import shown
from auditor.vocabulary.camera_angle import ELEVATION_WORDS, elevation_of_words, listed_angles
from auditor.vocabulary.colours import is_colour_of_a_photographer, listed_colours
from auditor.vocabulary.empty_space import (
    listed_sides,
    listed_space,
    sides_of_words,
    space_of_words,
)
from auditor.vocabulary.light import LIGHT_WORDS, light_of_words, listed_light
from auditor.vocabulary.listed import Listed
from auditor.vocabulary.place_list import listed_places, listed_relations
from auditor.vocabulary.places import (
    PLACE_WORDS,
    RELATION_WORDS,
    zone_of_place,
)
from auditor.vocabulary.plain_words import plain_words
from auditor.vocabulary.ratios import listed_ratios, ratio_of_words
from auditor.vocabulary.sizes import SIZES, listed_sizes, size_of_words
from auditor.vocabulary.techniques import TECHNIQUES, listed_techniques, technique_name
from auditor.vocabulary.temperatures import (
    TEMPERATURES,
    listed_temperatures,
    temperature_of_words,
)

# From this similarity on, a known phrase is suggested for an unknown one (difflib's ratio, in
# [0, 1]; "uper right" for "upper right" has 0.95, "over head" for "overhead" 0.94; common practice,
# no source).
LEAST_SIMILARITY = 0.7
# Of a text whose meaning is searched for, which takes time that grows with its square; the longest
# phrase has half as many (no source).
MOST_CHARACTERS = 120
LIST_COMMAND = '"auditor plan words" lists all'


@dataclass(frozen=True, slots=True)
class Kind:
    """A kind of phrase.

    Attributes
    ----------
    what : str
        With its article.
    example : str
        How it is written in a plan, with ``{}`` for the phrase.
    understands : callable
        Whether a text is one of its phrases.
    known : sequence of str
        The phrases to list where none is similar.
    listed : callable
        All of them.
    numbers : str
        What may stand instead of a phrase.
    """

    what: str
    example: str
    understands: Callable[[str], object]
    known: Sequence[str]
    listed: Callable[[], Iterable[Listed]]
    numbers: str = ""

    def phrases(self) -> dict[str, str]:
        """All phrases without numbers, as they are written, by their plain words."""
        return _phrases(self.listed)


@cache
def _phrases(listed: Callable[[], Iterable[Listed]]) -> dict[str, str]:
    written = (words for line in listed() for words in (line.words, *line.also))
    forms = (form for words in written for form in words.split(", "))
    return {plain_words(form): form for form in forms if not _DIGIT.search(form)}


def _zone_in_frame(text: str) -> bool:
    zone = zone_of_place(text, None)
    return zone is not None and not zone.follows_subject


PLACE = Kind(
    "a place in the frame",
    'subject = {{ at = "{}" }}',
    _zone_in_frame,
    PLACE_WORDS,
    listed_places,
    "[x, y] as in [0.67, 0.33]",
)
PLACE_BESIDE = Kind(
    "a place in the frame",
    'supporting = [ {{ name = "…", at = "{}" }} ]',
    lambda text: zone_of_place(text, None),
    (*PLACE_WORDS, *RELATION_WORDS),
    lambda: (*listed_places(), *listed_relations()),
    "[x, y] as in [0.67, 0.33]",
)
SIZE = Kind(
    "a size",
    'subject = {{ size = "{}" }}',
    size_of_words,
    (*(size.words for size in SIZES), "30%"),
    listed_sizes,
    "a share of the frame (0.2 is a fifth of it)",
)
LIGHT = Kind(
    "a direction of light",
    'light = "{}"',
    light_of_words,
    (*LIGHT_WORDS, "side light", "above", "soft"),
    listed_light,
    "the time on a clock that lies on the table, the camera at 6, as in 10.5",
)
ANGLE = Kind(
    "a camera angle",
    'camera_elevation = "{}"',
    elevation_of_words,
    ELEVATION_WORDS,
    listed_angles,
    "degrees between 0 (level) and 90 (straight down)",
)
TECHNIQUE = Kind(
    "a technique",
    'technique = "{}"',
    technique_name,
    (*TECHNIQUES, "leading lines", "odd number", "negative space"),
    listed_techniques,
)
SPACE = Kind(
    "empty space",
    'negative_space = "{}"',
    space_of_words,
    ("left", "right", "top", "bottom", "upper left corner", "around", "none", "lots", "40%"),
    listed_space,
    "a share of the frame (0.45 is 45 %)",
)
SIDE = Kind(
    "a side of the frame",
    'negative_space = {{ side = "{}" }}',
    sides_of_words,
    ("left", "right", "top", "bottom", "upper left corner", "around", "none"),
    listed_sides,
)
COLOUR = Kind(
    "a colour",
    'surface = "{}"',
    is_colour_of_a_photographer,
    ("white", "grey", "black", "terracotta", "sage", "dark wood", "pale blue", "dark", "light"),
    listed_colours,
    'a code "#rrggbb" (0-9 and a-f), as in "#e08a1e"',
)
TEMPERATURE = Kind(
    "a colour temperature",
    'colour_temperature = "{}"',
    temperature_of_words,
    tuple(one.words for one in TEMPERATURES),
    listed_temperatures,
    "kelvin as in 5600",
)
RATIO = Kind(
    "a format",
    'aspect_ratio = "{}"',
    ratio_of_words,
    ("portrait", "square", "landscape"),
    listed_ratios,
    'width to height as in "4:5" or 0.8, between 1:10 and 10:1',
)
# In this order a text is looked for elsewhere: first what shares the fewest words with others.
KINDS = (ANGLE, RATIO, TECHNIQUE, LIGHT, TEMPERATURE, COLOUR, PLACE, PLACE_BESIDE, SIZE, SPACE)
MOST_ELSEWHERE = 2  # of the kinds that a text is named as
_DEPTH = frozenset({"back", "behind", "front"})

_DIGIT = re.compile(r"\d")


def instead(kind: Kind, written: object) -> str:
    """Say what to write instead of a text (or a wrong value) of a kind."""
    answer = answer_to(kind.what, written)
    if answer:
        return answer
    if not isinstance(written, str):
        return _without_braces(kind, written) or _all_known(kind)
    if len(written) > MOST_CHARACTERS:
        return _all_known(kind)
    near = _beginning(kind, written)
    elsewhere = [] if near else _elsewhere(kind, written)
    if elsewhere:
        return _meant_elsewhere(kind, elsewhere, written.strip())
    in_part = None if near else _understood_in_part(kind, written, typos=False)
    near = near or (None if in_part else _nearest_phrase(kind, written))
    if near:
        return f'did you mean "{near}"? ({LIST_COMMAND})'
    return in_part or _understood_in_part(kind, written, typos=True) or _all_known(kind)


def _all_known(kind: Kind) -> str:
    numbers = f", or {kind.numbers}" if kind.numbers else ""
    return f"{kind.what} is {quoted(kind.known)}{numbers} ({LIST_COMMAND})"


def _without_braces(kind: Kind, written: object) -> str | None:
    """For a table of one value that needs none: ``{ at = 40 }``."""
    if not isinstance(written, dict) or len(written) != 1 or kind not in (ANGLE, RATIO, TECHNIQUE):
        return None
    (value,) = written.values()
    key = kind.example.split(" = ")[0]
    return f"write it without braces: {key} = {shown(value)}"


def _understood_in_part(kind: Kind, written: str, *, typos: bool) -> str | None:
    """Name the words that are known and those that are not; None for a text without such parts.

    `typos` allows that one of those is similar to a known word.
    """
    known = {word for phrase in kind.phrases() for word in phrase.split()}

    def may_go(rest: str) -> bool:
        words = plain_words(rest)
        is_strange = typos or not any(nearest(word, known) for word in words.split())
        return is_strange and not directions_in(words)

    found = known_part(written, kind.understands, may_go)
    if found is None:
        return None
    part, rest = found
    return (
        f'"{part}" is understood, {quoted(rest)} {"is" if len(rest) == 1 else "are"} not: leave '
        f"that out, or write it in other words ({LIST_COMMAND})"
    )


def _meant_elsewhere(kind: Kind, elsewhere: Sequence[Kind], written: str) -> str:
    is_what = f"that is {' or '.join(one.what for one in elsewhere)}, not {kind.what}"
    return f"{is_what}: write {' or '.join(one.example.format(written) for one in elsewhere)}"


def _elsewhere(kind: Kind, written: str) -> list[Kind]:
    """The kinds of phrase that a text is, if not of this one."""
    found: dict[str, Kind] = {}
    for one in KINDS:
        if one.what != kind.what and one.understands(written):
            found.setdefault(one.what, one)
    if PLACE.what in found:
        found.pop(SPACE.what, None)  # any side of the frame is both
    if LIGHT.what in found and _DEPTH & {*plain_words(written).split()}:
        found.pop(PLACE.what, None)  # "back left" is mostly said of light
    return list(found.values())[:MOST_ELSEWHERE]


def _beginning(kind: Kind, written: str) -> str | None:
    """The first phrase that begins with the written words."""
    words = plain_words(written)
    if not words:
        return None
    begun = (form for plain, form in kind.phrases().items() if plain.startswith(f"{words} "))
    return next(begun, None)


def _nearest_phrase(kind: Kind, written: str) -> str | None:
    """The most similar phrase that has the same directions as the written one.

    None for a text with a number: a similar number is another one.
    """
    if _DIGIT.search(written):
        return None
    words, phrases = plain_words(written), kind.phrases()
    directions = directions_in(words)
    near = nearest(words, (one for one in phrases if directions <= directions_in(one)))
    return None if near is None else phrases[near]


def nearest(word: str, words: Iterable[str]) -> str | None:
    """The most similar of some words; None if none is similar."""
    matches = difflib.get_close_matches(word, list(words), n=1, cutoff=LEAST_SIMILARITY)
    return matches[0] if matches else None


def quoted(words: Iterable[str]) -> str:
    """Write words in quotes, as a list."""
    return ", ".join(f'"{word}"' for word in words)
