"""A phrase of the vocabulary as it is listed for a photographer, and how phrases are looked up."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Protocol, TypeVar

from auditor.vocabulary.plain_words import plain_words


@dataclass(frozen=True, slots=True)
class Listed:
    """One line of the list of words.

    Attributes
    ----------
    words : str
        The phrase as the report names it.
    meaning : str
        In plain words.
    also : tuple of str
        Other ways to write it.
    """

    words: str
    meaning: str
    also: tuple[str, ...] = ()


class _Entry(Protocol):
    @property
    def words(self) -> str: ...

    @property
    def also(self) -> tuple[str, ...]: ...


Entry = TypeVar("Entry", bound=_Entry)

_OR = re.compile(r"\s+or\s+|\s*;\s*|(?:,|\s+and)\s+(?=\d+\s*:\s*\d)")


def by_form(entries: Iterable[Entry]) -> Mapping[str, Entry]:
    """Each entry by every way to write it, in plain words."""
    return {plain_words(form): entry for entry in entries for form in (entry.words, *entry.also)}


def entries_in(text: str, forms: Mapping[str, Entry]) -> tuple[Entry, ...]:
    """The entries that a text of several phrases names, in its order; none if a word is no phrase.

    Longer phrases go before shorter ones: ``"light blue linen"`` is light blue, then linen.
    """
    words, found = text.split(), []
    while words:
        length = next((n for n in range(len(words), 0, -1) if " ".join(words[:n]) in forms), None)
        if length is None:
            return ()
        found.append(forms[" ".join(words[:length])])
        words = words[length:]
    return tuple(found)


def word_set(text: str) -> frozenset[str]:
    """The words of a text."""
    return frozenset(text.split())


def shares_text(least: float, most: float) -> str:
    """A range of shares of the frame: ``"3 to 18% of the frame"``."""
    if most == 1:
        return f"at least {least:.0%} of the frame"
    if least == 0:
        return f"up to {most:.0%} of the frame"
    return f"{100 * least:.0f} to {most:.0%} of the frame"


def alternatives(text: str) -> tuple[str, ...]:
    """The parts of a text that offers several: ``"left or right"``."""
    return tuple(part for part in _OR.split(text.strip()) if part)


def without(text: str, fillers: Iterable[str]) -> str:
    """Plain words without those that add nothing."""
    left_out = frozenset(fillers)
    return " ".join(word for word in plain_words(text).split() if word not in left_out)
