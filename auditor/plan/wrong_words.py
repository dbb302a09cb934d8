"""What to say of a text that is no word of its key.

The message suggests the nearest phrase of the same kind that keeps the written directions, or says
what the text means elsewhere: "backlit" as a place is a light.
"""

from __future__ import annotations

import difflib
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass

from auditor.vocabulary.camera_angle import ELEVATION_WORDS, elevation_of_words, listed_angles
from auditor.vocabulary.colours import colours_of_words, listed_colours
from auditor.vocabulary.empty_space import listed_space, space_of_words
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

    def phrases(self) -> list[str]:
        """All phrases, in plain words."""
        return [
            plain_words(form)
            for line in self.listed()
            for words in (line.words, *line.also)
            for form in words.split(", ")
        ]


PLACE = Kind(
    "a place in the frame",
    'subject = {{ at = "{}" }}',
    lambda text: zone_of_place(text, None),
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
COLOUR = Kind(
    "a colour",
    'surface = "{}"',
    colours_of_words,
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
KINDS = (ANGLE, RATIO, TECHNIQUE, LIGHT, TEMPERATURE, COLOUR, PLACE_BESIDE, SIZE, SPACE)

_DIRECTIONS = {
    **{word: word for word in ("left", "right", "top", "bottom", "back", "front", "side")},
    "upper": "top",
    "lower": "bottom",
    "behind": "back",
}


def instead(kind: Kind, written: object) -> str:
    """Say what to write instead of a text (or a wrong value) of a kind."""
    numbers = f", or {kind.numbers}" if kind.numbers else ""
    known = f"{quoted(kind.known)}{numbers}"
    if not isinstance(written, str):
        return f"must be {kind.what}: {known} ({LIST_COMMAND})"
    elsewhere = _elsewhere(kind, written)
    if elsewhere is not None:
        wrote = elsewhere.example.format(written.strip())
        return (
            f"that is {elsewhere.what}, not {kind.what}: write {wrote}; "
            f"{kind.what} is {known} ({LIST_COMMAND})"
        )
    near = _nearest_phrase(kind, written)
    meant = f'did you mean "{near}"? Known are ' if near else f"{kind.what} is "
    return f"{meant}{known} ({LIST_COMMAND})"


def _elsewhere(kind: Kind, written: str) -> Kind | None:
    """The kind of phrase that a text is, if not of this one."""
    others = (one for one in KINDS if one.what != kind.what)
    return next((one for one in others if one.understands(written)), None)


def _nearest_phrase(kind: Kind, written: str) -> str | None:
    """The most similar phrase that has the same directions as the written one."""
    words = plain_words(written)
    directions = _directions(words)
    fitting = [one for one in kind.phrases() if directions <= _directions(one)]
    return nearest(words, fitting)


def nearest(word: str, words: Iterable[str]) -> str | None:
    """The most similar of some words; None if none is similar."""
    matches = difflib.get_close_matches(word, list(words), n=1, cutoff=LEAST_SIMILARITY)
    return matches[0] if matches else None


def _directions(words: str) -> frozenset[str]:
    return frozenset(_DIRECTIONS[word] for word in words.split() if word in _DIRECTIONS)


def quoted(words: Iterable[str]) -> str:
    """Write words in quotes, as a list."""
    return ", ".join(f'"{word}"' for word in words)
