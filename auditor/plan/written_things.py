"""Readers of the places, sizes and names of what a plan wants in the frame."""

from __future__ import annotations

import re

from auditor.geometry import Point
from auditor.plan import wrong_words
from auditor.plan.written_phrases import TWO, read_size_of_thing
from auditor.plan.written_values import number_from, wrong
from auditor.vocabulary.listed import alternatives, word_set
from auditor.vocabulary.places import zone_of_place
from auditor.vocabulary.plain_words import plain_words
from auditor.vocabulary.sizes import size_of_words
from auditor.vocabulary.zones import Relation

Place = tuple[str | Point, ...]


_BESIDE_ITSELF = "the subject cannot be behind, in front of or beside itself"
_NOT_OF_A_SUBJECT: dict[Relation | None, str] = {
    Relation.BEHIND: 'for the far part of the picture write "top"; for light from behind write '
    'light = "back"',
    Relation.IN_FRONT: 'for the near part of the picture write "bottom"; for light from the front '
    'write light = "front"',
}


def read_place(value: object) -> Place:
    """Read the place of the subject: words, [x, y] in fractions of the frame, or several."""
    places = _read_place(value, wrong_words.PLACE)
    for place in places:
        zone = zone_of_place(place, None) if isinstance(place, str) else None
        if zone is not None and zone.follows_subject:
            raise wrong(value, _NOT_OF_A_SUBJECT.get(zone.relation, _BESIDE_ITSELF))
    return places


def read_place_beside(value: object) -> Place:
    """Read the place of a supporting element, which may be named after the subject's."""
    return _read_place(value, wrong_words.PLACE_BESIDE)


def _read_place(value: object, kind: wrong_words.Kind) -> Place:
    if isinstance(value, tuple):
        return value
    if isinstance(value, str):
        if zone_of_place(value, None) is None:
            raise wrong(value, wrong_words.instead(kind, value))
        return (" or ".join(plain_words(part) for part in alternatives(value)),)
    if isinstance(value, list) and value and isinstance(value[0], str | list):
        return tuple(place for item in value for place in _read_place(item, kind))
    numbers = [number_from(part) for part in value] if isinstance(value, list) else []
    inside = [number for number in numbers if number is not None and 0 <= number <= 1]
    if len(numbers) != TWO or len(inside) != TWO:
        raise wrong(
            value,
            "must be [x, y], both between 0 and 1 (x from the left edge, y from the top), "
            'or words as in "upper right"',
        )
    return (Point(inside[0], inside[1]),)


_AND = re.compile(r"\s*(?:,|;|\band\b)\s*")


def read_subject(value: object) -> dict[str, object]:
    """Read a subject without a table: a place, a size, or both (``"large, upper right"``)."""
    if isinstance(value, str):
        found: dict[str, object] = {}
        parts = _parts_of_subject(value)
        for part in parts[1:] if len(parts) > 1 and _is_name(parts[0]) else parts:
            said = _without_name(part)
            size = size_of_words(said)
            if size is not None and "size" not in found:
                found["size"] = size
            elif zone_of_place(said, None) is not None and "at" not in found:
                found["at"] = read_place(said)
            else:
                raise wrong(value, _not_a_subject(part))
        return found
    if number_from(value) is not None:
        return {"size": read_size_of_thing(value)}
    return {"at": read_place(value)}


def _without_name(part: str) -> str:
    """The place or size after what the subject is: "hero plate bottom right"; or the part itself.

    What stands before must say nothing itself: "not in the centre" is not the centre.
    """
    words = part.split()
    for cut in range(min(len(words), MOST_WORDS_OF_NAME + 1)):
        rest = " ".join(words[cut:])
        if size_of_words(rest) or zone_of_place(rest, None):
            return rest
        word = plain_words(words[cut])
        if word in _NO_NAME or wrong_words.nearest(word, _SAYS_WHERE) is not None:
            break
    return part


MOST_WORDS_OF_NAME = 4  # "the big hero plate" (our choice)
_NO_NAME = word_set(
    "no not never without off under over near of from least most than more less between to behind "
    "beside in on"
)
# Nothing that is similar is a name: "uper right" is a mistyped "upper right".
_SAYS_WHERE = word_set(
    "left right upper lower bottom centre center middle almost nearly slightly large small medium"
)


def _is_name(part: str) -> bool:
    """Whether a text says what the subject is, and nothing else: "soup" of "soup, upper right"."""
    words = plain_words(part).split()
    if size_of_words(part) or zone_of_place(_without_name(part), None):
        return False
    says_where = any(word in _NO_NAME or wrong_words.nearest(word, _SAYS_WHERE) for word in words)
    said = wrong_words.instead(wrong_words.PLACE, part)
    return not says_where and said.startswith(wrong_words.PLACE.what)


def _parts_of_subject(text: str) -> list[str]:
    """The place and the size in a text: ``"large, upper right"``, ``"small in the centre"``."""
    if zone_of_place(text, None) or size_of_words(text):
        return [text]
    words = text.split()
    for cut in range(1, len(words)):
        first, last = " ".join(words[:cut]), " ".join(words[cut:])
        if size_of_words(first.strip(",;")) and zone_of_place(_without_name(last), None):
            return [first.strip(",;"), last]
    return _AND.split(text)


def _not_a_subject(part: str) -> str:
    said = wrong_words.instead(wrong_words.PLACE, part)
    if not said.startswith(wrong_words.PLACE.what):
        return said
    return (
        'write where the subject is, as in "upper right" or [0.67, 0.33], or how large, as in '
        '"large" or "30%"; what it is cannot be measured: keep that in '
        f'subject = {{ name = "…" }} ({wrong_words.LIST_COMMAND})'
    )


# Where a name may end and a place begin.
_BREAK = re.compile(
    r"\s*[,:;]\s*|\s+(?=(?:at|on|in|behind|beside|next|left of|right of|around|under|underneath|"
    r"scattered|to the|back|rear|front|slightly|just)\b)",
    re.IGNORECASE,
)
_NAME_AND_SIDE = re.compile(
    r"(?P<name>.+?)\s+(?P<place>(?:(?:upper|top|lower|bottom)[ -])?(?:left|right))", re.IGNORECASE
)
_NAME_AND_BRACKETS = re.compile(r"(?P<name>.+?)\s*\((?P<place>.+)\)")


def read_element(value: object) -> object:
    """Read a supporting element without a table: its name, or name and place in words."""
    number = number_from(value)
    if number is not None:
        raise wrong(value, f"for a number of elements write supporting = {number:g}, alone")
    if not isinstance(value, str):
        return value
    text = value.strip()
    # The first break after which all is a place: "cloth under the bowl, on the left".
    for found in _BREAK.finditer(text):
        name, place = text[: found.start()], text[found.end() :]
        at, _, size = place.rpartition(",")
        if name and zone_of_place(place, None) is not None:
            return {"name": name, "at": place}
        if name and zone_of_place(at, None) is not None and size_of_words(size) is not None:
            return {"name": name, "at": at, "size": size.strip()}
    for pattern in (_NAME_AND_SIDE, _NAME_AND_BRACKETS):
        whole = pattern.fullmatch(text)
        if whole is not None and zone_of_place(whole["place"], None) is not None:
            return {"name": whole["name"], "at": whole["place"]}
    return {"name": value}


def read_supporting(value: object) -> object:
    """Bring supporting elements to a list of tables: one name, a table, names, or how many.

    The list itself is read by its items.
    """
    if isinstance(value, str | dict):
        return [value]
    number = number_from(value)
    if number is None:
        return value
    if not 0 <= number <= MOST_ELEMENTS or number != int(number):
        raise wrong(
            value, f"must be a whole number, how many elements there are: 0 to {MOST_ELEMENTS}"
        )
    return [{} for _ in range(int(number))]


MOST_ELEMENTS = 20  # more than anyone counts on a table: rather a typing mistake (our choice)
