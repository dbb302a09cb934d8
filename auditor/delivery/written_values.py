"""Readers of the values of rules, with a message for each value that is wrong."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any

from auditor.accepted import Accepted
from auditor.delivery.name_pattern import pattern_of
from auditor.delivery.rules import Asked
from auditor.delivery.units import Unit, words_of
from auditor.plan.written_counts import count_reader
from auditor.plan.written_phrases import ends_of_list
from auditor.plan.written_values import number_from, wrong
from auditor.plan.wrong_words import nearest, quoted
from auditor.vocabulary.number_phrases import number_of_words
from auditor.vocabulary.plain_words import plain_words
from auditor.vocabulary.ratios import ratio_of_words

Reader = Callable[[Any], Asked]

_FILE_TYPES = {"jpeg": "JPEG", "jpg": "JPEG", "png": "PNG", "tiff": "TIFF", "tif": "TIFF"}
_FILE_TYPES |= {"webp": "WebP", "avif": "AVIF", "heic": "HEIC", "heif": "HEIC"}
_MODELS = {"rgb": "RGB", "cmyk": "CMYK", "grey": "grey", "gray": "grey", "greyscale": "grey"}
LOOK = ("colour temperature", "tint", "exposure", "contrast", "saturation", "palette")


def limit_reader(unit: Unit) -> Reader:
    """Make a reader of a number, a range or a limit in a unit."""
    right = f"must be written like {unit.example}"

    def read(value: object) -> Asked:
        accepted = _limit(value, unit)
        if accepted is None:
            raise wrong(value, right)
        least, most = accepted.spans[0]
        if least == most and not unit.exact:
            raise wrong(value, f'say "at most" or "at least", as in {unit.example}')
        return Asked(words_of(accepted, unit), accepted)

    return read


def _limit(value: object, unit: Unit) -> Accepted | None:
    if isinstance(value, str):
        return number_of_words(value, unit.read_one, 0.0, unit.highest)
    if isinstance(value, list):
        ends = ends_of_list(value)
        fits = ends is not None and 0 <= ends[0] <= ends[1] <= unit.highest
        return Accepted(ends[1], (ends,)) if ends is not None and fits else None
    number = number_from(value)
    fits = number is not None and 0 < number <= unit.highest
    return Accepted.exactly(number) if number is not None and fits else None


def number_of(things: str, least: int = 0) -> Reader:
    """Make a reader of a number of things, as the plan has for its pictures."""
    read_count = count_reader(least, things)

    def read(value: object) -> Asked:
        accepted = read_count(value)
        return Asked(accepted.words, accepted)

    return read


def read_ratio(value: object) -> Asked:
    """Read one or several ratios of width to height; any will do."""
    written = value if isinstance(value, list) else [value]
    parts = [part for item in written for part in _ratio_parts(item)]
    accepted = [ratio_of_words(part) for part in parts]
    if not parts or any(one is None for one in accepted):
        raise wrong(value, 'must be a ratio as in "4:5", or several as in ["1:1", "4:5"]')
    return Asked(" or ".join(parts), Accepted.any_of([one for one in accepted if one is not None]))


def _ratio_parts(item: object) -> list[str]:
    return [part.strip() for part in item.split(" or ")] if isinstance(item, str) else [""]


def choice_reader(known: Mapping[str, str], example: str) -> Reader:
    """Make a reader of one or several of some names, any of which will do."""

    def read(value: object) -> Asked:
        items = value if isinstance(value, list) else [value]
        texts = [item for item in items if isinstance(item, str)]
        parts = [part for text in texts for part in text.split(" or ")]
        names = [known.get(_letters(part)) for part in parts]
        if not parts or len(texts) < len(items) or None in names:
            unknown = [part for part, name in zip(parts, names, strict=True) if name is None]
            near = nearest(plain_words(unknown[0]), known) if unknown else None
            meant = f'did you mean "{known[near]}"? Known is ' if near else "must be "
            raise wrong(value, meant + quoted(tuple(dict.fromkeys(known.values()))) + example)
        found = tuple(dict.fromkeys(name for name in names if name is not None))
        return Asked(" or ".join(found), texts=found)

    return read


def _letters(text: str) -> str:
    return "".join(letter for letter in text.casefold() if letter.isalnum())


read_type = choice_reader(_FILE_TYPES, ', as in "JPEG"')
read_model = choice_reader(_MODELS, ', as in "RGB"')


def read_texts(value: object) -> Asked:
    """Read one or several names of colour profiles."""
    items = value if isinstance(value, list) else [value]
    if not items or not all(isinstance(item, str) and item.strip() for item in items):
        raise wrong(value, 'must be the name of a profile, as in "sRGB" or ["sRGB", "Display P3"]')
    names = tuple(str(item).strip() for item in items)
    return Asked(" or ".join(names), texts=names)


def read_never(value: object) -> Asked:
    """Read ``false`` for what must not be there."""
    if value is not False:
        raise wrong(value, "must be false, or left out")
    return Asked("none", wanted=False)


def read_always(value: object) -> Asked:
    """Read ``true`` for what must hold."""
    if value is not True:
        raise wrong(value, "must be true, or left out")
    return Asked("yes", wanted=True)


def read_presence(value: object) -> Asked:
    """Read whether something must be there, or must not."""
    if not isinstance(value, bool):
        raise wrong(value, "must be true (it must be there) or false (it must not)")
    return Asked("there" if value else "none", wanted=value)


def read_stated(value: object) -> Asked:
    """Read whether a name must be there, or which."""
    if isinstance(value, str) and value.strip():
        return Asked(f"‘{value.strip()}’", texts=(value.strip(),), wanted=True)
    if not isinstance(value, bool):
        raise wrong(value, 'must be true, false, or the text that must stand there, as in "A. Tea"')
    return read_presence(value)


def read_keywords(value: object) -> Asked:
    """Read whether there must be keywords, or how many."""
    return read_presence(value) if isinstance(value, bool) else _read_n_keywords(value)


_read_n_keywords = number_of("keywords", 1)


def read_name_pattern(value: object) -> Asked:
    """Read the form of file names."""
    pattern = pattern_of(value.strip()) if isinstance(value, str) else None
    if pattern is None:
        raise wrong(
            value,
            'must be the form of a name without its ending, as in "teahouse-{number:3}"; in braces '
            "stand number, number:3 (three digits), word or date, the number once",
        )
    return Asked(pattern.written, pattern=pattern)


def read_look(value: object) -> Asked:
    """Read in what the pictures must hold together."""
    if value is True:
        return Asked(", ".join(LOOK), texts=LOOK)
    if isinstance(value, bool):
        raise wrong(value, f"must be true, or some of {quoted(LOOK)}")
    asked = choice_reader({_letters(name): name for name in LOOK}, ", or true")(value)
    return Asked(", ".join(asked.texts), texts=asked.texts)
