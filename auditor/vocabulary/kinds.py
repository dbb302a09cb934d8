"""Kinds of things on a table, by the word that names them.

A plan names its elements; a picture shows outlines. The kind says which outlines a name may have: a
spoon is long and thin, a bowl is not. Only the last known word before "of", "with", "for", "on" or
"in" counts, so a "glass of herbs" is a glass and a "cake knife" a knife. A thing may also be named
by its shape alone: a "long thing".
"""

from __future__ import annotations

from enum import StrEnum

from auditor.vocabulary.plain_words import plain_words


class Kind(StrEnum):
    """What the shape of a thing is like."""

    LONG = "long and thin"
    FLAT = "flat"
    TALL = "tall"
    ROUND = "a dish"
    SMALL = "small or scattered"
    UNKNOWN = "unknown"


# From memory: what stands on the tables of food photographs.
_WORDS: dict[Kind, str] = {
    Kind.LONG: (
        "spoon teaspoon tablespoon fork knife chopstick whisk ladle spatula tong skewer straw "
        "stick server scoop brush pestle handle baguette breadstick scissor tweezer "
        "thermometer toothpick"
    ),
    Kind.FLAT: (
        "napkin cloth towel linen board tray mat placemat paper runner tablecloth slate "
        "coaster magazine menu card book doily tissue"
    ),
    Kind.TALL: (
        "bottle glass carafe jug pitcher candle mill shaker vase flask decanter goblet "
        "tumbler grinder jar cafetiere can thermos"
    ),
    Kind.ROUND: (
        "bowl plate dish saucer cup mug ramekin pot tin mortar casserole tureen basket kettle "
        "teapot colander sieve"
    ),
    Kind.SMALL: (
        "leaf herb basil coriander parsley mint thyme rosemary dill chive sage cilantro cress "
        "petal flower seed nut almond walnut pistachio hazelnut peanut pepper peppercorn salt "
        "spice cinnamon crumb crouton berry blueberry raspberry cranberry pomegranate chili "
        "chilli garnish topping sprig sprinkle sugar chocolate cream butter sesame olive "
        "caper clove anise zest"
    ),
}
_KINDS = {word: kind for kind, words in _WORDS.items() for word in words.split()}
_SHAPES_OF_THINGS = {
    "long": Kind.LONG,
    "thin": Kind.LONG,
    "flat": Kind.FLAT,
    "tall": Kind.TALL,
    "round": Kind.ROUND,
    "small": Kind.SMALL,
}
_ENDS_OF_HEAD = frozenset({"of", "with", "for", "on", "in", "at", "from"})
_IRREGULAR = {"leaves": "leaf", "knives": "knife", "loaves": "loaf", "cloths": "cloth"}


def kind_of(name: str) -> Kind:
    """The kind of thing that a name means; unknown for a word that is in no list."""
    head = []
    for word in plain_words(name).split():
        if word in _ENDS_OF_HEAD:
            break
        head.append(word)
    if "thing" in head or "things" in head:
        shapes = [_SHAPES_OF_THINGS[word] for word in head if word in _SHAPES_OF_THINGS]
        return shapes[-1] if shapes else Kind.UNKNOWN
    kinds = [_KINDS[one] for word in head if (one := _singular(word)) is not None]
    # "rolling pin" is long, a pin alone is not on a table.
    if head[-2:] in (["rolling", "pin"], ["rolling", "pins"]):
        return Kind.LONG
    return kinds[-1] if kinds else Kind.UNKNOWN


def _singular(word: str) -> str | None:
    """The listed word of which this is the singular or the plural; None for none."""
    forms = [word, _IRREGULAR.get(word, ""), word.removesuffix("s"), word.removesuffix("es")]
    if word.endswith("ies"):
        forms.append(word.removesuffix("ies") + "y")
    return next((form for form in forms if form in _KINDS), None)
