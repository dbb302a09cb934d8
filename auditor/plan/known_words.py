"""Which words of a text are understood, where others beside them are not: "nubbly linen"."""

from __future__ import annotations

import re
from collections.abc import Callable

_DIRECTIONS = {
    **{word: word for word in ("left", "right", "top", "bottom", "back", "front", "side")},
    "upper": "top",
    "lower": "bottom",
    "behind": "back",
    **dict.fromkeys(("centre", "center", "middle", "central"), "centre"),
}
_APART = re.compile(r"[\s,;]+")


def known_part(
    text: str, understands: Callable[[str], object], leave_out: Callable[[str], bool]
) -> tuple[str, list[str]] | None:
    """The longest part of a text that is understood, and the other words; None if there is none.

    Parameters
    ----------
    text : str
    understands : callable
        Whether a text is understood.
    leave_out : callable
        Whether words may be left out and the meaning stays: no direction may.
    """
    words = [word for word in _APART.split(text) if word]
    for length in range(len(words) - 1, 0, -1):
        for start in range(len(words) - length + 1):
            part = " ".join(words[start : start + length])
            rest = [*words[:start], *words[start + length :]]
            if leave_out(" ".join(rest)) and understands(part):
                return part, rest
    return None


def directions_in(words: str) -> frozenset[str]:
    """The directions that plain words name, each by one word."""
    return frozenset(_DIRECTIONS[word] for word in words.split() if word in _DIRECTIONS)
