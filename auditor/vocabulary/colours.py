"""Names of colours, and the regions of colour that they mean.

A name means a region: all colours within a CIEDE2000 difference of one of its middles. Names of
materials ("slate", "linen") mean the colours that such things usually have on a table. The names of
CSS Color Module Level 4 that are not in the table mean their own colour and what would
have that name by eye, `CSS_RADIUS` around it. A code means itself, with the whole tolerance.
"""

from __future__ import annotations

import re
from collections.abc import Mapping

from auditor.accepted import AcceptedColour
from auditor.vocabulary.colour_table import REGIONS as REGIONS
from auditor.vocabulary.colour_table import NamedRegion
from auditor.vocabulary.listed import Listed, alternatives, by_form, entries_in, without, word_set
from auditor.vocabulary.plain_words import plain_words

# Neighbours in the list of CSS are about 10 apart (our choice, no source). CIEDE2000.
CSS_RADIUS = 6.0

_BY_FORM: Mapping[str, NamedRegion] = by_form(REGIONS)
_FILLERS = word_set(
    "a background backdrop board coloured colored colour color counter fabric of "
    "surface table tabletop the top tone tones wall worktop cloth "
    "paper napkin plate tray tablecloth tile tiles slab plank planks"
)
_CODE = re.compile(r"#?([0-9a-f]{6}|[0-9a-f]{3})")
# What a surface is like, or what a hue is like without another name.
_ADJECTIVES = word_set(
    "aged and battered bleached bright brushed clean cool creased crumpled deep distressed faded "
    "floured frosted glossy glazed hammered matte matt muted natural old painted plain polished "
    "raw rich rough rumpled rustic scratched soft speckled stained textured vintage vivid warm "
    "washed weathered worn wrinkled"
)
_DEEP, _DEEP_AND_HUE = frozenset({"deep", "rich"}), 2
_LIGHTNESS_WORDS = ("dark", "light", "pale")
_LIST = re.compile(r"\s*(?:,|;|\band\b|\+|&)\s*")


def colour_of_words(text: str) -> AcceptedColour | None:
    """Read a colour as a name or a code; None where unknown."""
    phrase = text.strip().casefold()
    for named in (plain_words(phrase), without(phrase, _FILLERS)):
        if named in _BY_FORM:
            return _BY_FORM[named].accepted(named)
    region = None
    if _LIST.search(phrase) is None:
        region = _deep(phrase) or _composed(without(phrase, _FILLERS | _ADJECTIVES).split())
    if region is not None:
        return region.accepted(without(phrase, _FILLERS))
    if code := _CODE.fullmatch(phrase):
        return AcceptedColour(_six_digits(code[1]))
    css = css_code("".join(plain_words(phrase).split()))
    return None if css is None else AcceptedColour(css, CSS_RADIUS, plain_words(phrase))


def _deep(phrase: str) -> NamedRegion | None:
    """The dark colour of a deep one, where it has a name: ``"deep red"`` is dark red."""
    words = without(phrase, _FILLERS | (_ADJECTIVES - _DEEP)).split()
    if len(words) < _DEEP_AND_HUE or words[0] not in _DEEP:
        return None
    return _BY_FORM.get(f"dark {words[1]}") or _BY_FORM.get(f"dark {words[1].removesuffix('s')}")


def _composed(words: list[str]) -> NamedRegion | None:
    """The colour of several words: ``"light blue linen"`` is light blue, ``"wood, dark"`` dark.

    The first name counts: a colour stands before what has it.
    """
    if words and words[-1] in _LIGHTNESS_WORDS:
        words = [words[-1], *words[:-1]]
    found = entries_in(" ".join(words), _BY_FORM)
    if not found:
        return None
    if words[0] in _LIGHTNESS_WORDS and found[0].words == words[0]:
        nouns = (*words[1:], *(one.words for one in found[1:]))
        together = (_BY_FORM.get(f"{words[0]} {noun}") for noun in nouns)
        return next((one for one in together if one is not None), found[0])
    return found[0]


def is_colour_of_a_photographer(text: str) -> bool:
    """Whether a text is a name of the table or a code."""
    phrase = text.strip().casefold()
    names = (plain_words(phrase), without(phrase, _FILLERS))
    is_named = any(name in _BY_FORM for name in names)
    return is_named or _CODE.fullmatch(phrase) is not None


def colours_of_words(text: str) -> tuple[AcceptedColour, ...]:
    """Read one colour or several, joined with "or", "and" or commas; empty where one is unknown."""
    whole = colour_of_words(text)
    if whole is not None:
        return (whole,)
    parts = [part for one in alternatives(text) for part in _LIST.split(one) if part]
    found = [colour_of_words(part) for part in parts]
    known = tuple(one for one in found if one is not None)
    return known if len(known) == len(found) else ()


def css_code(name: str) -> str | None:
    """``#rrggbb`` of a named colour of CSS; None where unknown."""
    from PIL import ImageColor  # most plans do without, and a check should be quick

    if name not in ImageColor.colormap:
        return None
    red, green, blue = ImageColor.getrgb(name)[:3]
    return f"#{red:02x}{green:02x}{blue:02x}"


def _six_digits(digits: str) -> str:
    return "#" + (digits if len(digits) > 3 else "".join(digit * 2 for digit in digits))


def listed_colours() -> tuple[Listed, ...]:
    """The colours for the list of words."""
    return (
        *(Listed(one.words, _about(one), one.also) for one in REGIONS),
        Listed(
            "#6f6a63", "a code, red green blue from 00 to ff; also 6f6a63, and #fa0 for #ffaa00"
        ),
        Listed(
            "sienna, peru, …",
            "any name of a colour in CSS (the colours of web pages); each means what is near to "
            "its own code",
        ),
    )


def _about(region: NamedRegion) -> str:
    return f"around {', '.join(region.middles.split())}"
