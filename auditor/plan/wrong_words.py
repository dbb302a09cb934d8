"""What to say of a text that is no word of its key.

The message suggests the nearest phrase of the same kind that keeps the written directions, or says
what the text means elsewhere: "backlit" as a place is a light.
"""

from __future__ import annotations

import difflib
import re
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass

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
        forms = (
            form
            for line in self.listed()
            for words in (line.words, *line.also)
            for form in words.split(", ")
        )
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
# A photographer who writes light as a place needs to see what a direction of light is.
_ALWAYS_LISTED = frozenset({LIGHT.what})

_DIGIT = re.compile(r"\d")
_DIRECTIONS = {
    **{word: word for word in ("left", "right", "top", "bottom", "back", "front", "side")},
    "upper": "top",
    "lower": "bottom",
    "behind": "back",
    **dict.fromkeys(("centre", "center", "middle", "central"), "centre"),
}


def instead(kind: Kind, written: object) -> str:
    """Say what to write instead of a text (or a wrong value) of a kind."""
    numbers = f", or {kind.numbers}" if kind.numbers else ""
    known = f"{kind.what} is {quoted(kind.known)}{numbers}"
    if not isinstance(written, str):
        return f"{known} ({LIST_COMMAND})"
    near = _beginning(kind, written)
    elsewhere = [] if near else _elsewhere(kind, written)
    near = near or (None if elsewhere else _nearest_phrase(kind, written))
    if near:
        said = f'did you mean "{near}"?'
    elif elsewhere:
        said = _meant_elsewhere(kind, elsewhere, written.strip())
    else:
        return f"{known} ({LIST_COMMAND})"
    also = f"; {known}" if kind.what in _ALWAYS_LISTED and not near else ""
    return f"{said}{also} ({LIST_COMMAND})"


def _meant_elsewhere(kind: Kind, elsewhere: Sequence[Kind], written: str) -> str:
    is_what = f"that is {' or '.join(one.what for one in elsewhere)}, not {kind.what}"
    if kind is LIGHT and elsewhere[0] is PLACE:
        return f'{is_what}: light from behind the subject, at the top of the picture, is "back"'
    return f"{is_what}: write {' or '.join(one.example.format(written) for one in elsewhere)}"


def _elsewhere(kind: Kind, written: str) -> list[Kind]:
    """The kinds of phrase that a text is, if not of this one."""
    found: dict[str, Kind] = {}
    for one in KINDS:
        if one.what != kind.what and one.understands(written):
            found.setdefault(one.what, one)
    if PLACE.what in found:
        found.pop(SPACE.what, None)  # any side of the frame is both
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
    directions = _directions(words)
    near = nearest(words, (one for one in phrases if directions <= _directions(one)))
    return None if near is None else phrases[near]


def nearest(word: str, words: Iterable[str]) -> str | None:
    """The most similar of some words; None if none is similar."""
    matches = difflib.get_close_matches(word, list(words), n=1, cutoff=LEAST_SIMILARITY)
    return matches[0] if matches else None


def _directions(words: str) -> frozenset[str]:
    return frozenset(_DIRECTIONS[word] for word in words.split() if word in _DIRECTIONS)


def quoted(words: Iterable[str]) -> str:
    """Write words in quotes, as a list."""
    return ", ".join(f'"{word}"' for word in words)
