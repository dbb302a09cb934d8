"""Patterns of file names: ``"teahouse-{number:3}"``.

``{number}`` is a sequence number, ``{number:3}`` one of three digits, with zeros in front;
``{word}`` stands for letters and digits, ``{date}`` for eight digits, ``*`` for anything. All other
characters stand for themselves. The ending (``.jpg``) is left out.
"""

from __future__ import annotations

import re
from dataclasses import dataclass

NUMBER = "number"
MOST_DIGITS = 9  # of a sequence number: more is a typing mistake (common practice, no source)
_TOKEN = re.compile(r"\{([^{}]*)\}|(\*)|([{}])|([^{}*]+)")
_DIGITS = re.compile(r"number(?::([1-9]))?")
_OTHERS = {"word": r"[^\W_]+", "date": r"[0-9]{8}"}


@dataclass(frozen=True, slots=True)
class NamePattern:
    """A pattern of file names.

    Attributes
    ----------
    written : str
    expression : str
        As a regular expression.
    has_number : bool
        Whether there is a sequence number in it.
    """

    written: str
    expression: str
    has_number: bool

    def fits(self, stem: str) -> bool:
        """Whether a name without its ending has this form."""
        return re.fullmatch(self.expression, stem) is not None

    def number_in(self, stem: str) -> int | None:
        """The sequence number of a name; None where it does not fit, or there is none."""
        found = re.fullmatch(self.expression, stem)
        return int(found[NUMBER]) if found is not None and self.has_number else None


def pattern_of(text: str) -> NamePattern | None:
    """Read a pattern; None where braces are not closed or their word is unknown."""
    parts, n_numbers = [], 0
    for token in _TOKEN.finditer(text):
        name, star, brace, plain = token.groups()
        if brace:
            return None
        if plain is not None:
            parts.append(re.escape(plain))
        elif star:
            parts.append(".*")
        elif (found := _DIGITS.fullmatch(name.replace(" ", ""))) is not None:
            n_numbers += 1
            digits = found[1] or f"1,{MOST_DIGITS}"
            parts.append(f"(?P<{NUMBER}>[0-9]{{{digits}}})")
        elif name.strip() in _OTHERS:
            parts.append(_OTHERS[name.strip()])
        else:
            return None
    if n_numbers > 1 or not parts:
        return None
    return NamePattern(text, "".join(parts), n_numbers == 1)
