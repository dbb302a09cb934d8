"""What a file that a person writes is never: its limits, checked before its contents are read.

The standard library's reader of TOML needs time that grows with the square of the parts of a
dotted key, runs out of stack where lists are nested deeply, and fails at integers of thousands of
digits. Nothing here is near what a plan needs. Lists and texts are limited too, since what is
wrong in them is searched for what it may mean.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from typing import Any

from auditor.errors import Fault
from auditor.plan.toml_lines import KeyPath

# All of these are our choice, far beyond what is written by hand; no source.
MOST_BYTES = 500_000
"""Of a file: 1,000 shots of 500 characters."""

MOST_KEY_PARTS = 20
"""Of a dotted key; a plan needs four."""

MOST_DEPTH = 20
"""Of lists and tables inside each other; a plan needs four."""

MOST_CHARACTERS = 200
"""Of a number, or of a key without quotes."""

MOST_TEXT = 500
"""Characters of a text that means something; a note may be longer."""

MOST_ITEMS = 100
"""Of a list, other than those of `LONG_LISTS`."""

MOST_KEYS = 200
"""Of one table; a shot knows 17."""

LONG_LISTS = frozenset({"shot", "channel", "files"})

# Possessive, so that no text needs more than one pass. A string that is not closed ends with its
# line, one in triple quotes with the text: the reader of TOML says what is wrong with it.
_STRING = (
    r'"""(?:[^"\\]|\\.|"(?!""))*+"{0,5}+'
    r"|'''(?:[^']|'(?!''))*+'{0,5}+"
    r'|"(?:[^"\\\n]|\\[^\n])*+"?+'
    r"|'[^'\n]*+'?+"
)
_PART = rf"(?>{_STRING}|[A-Za-z0-9_+-]++)"
_TOKEN = re.compile(
    rf"(?P<dotted>{_PART}(?>[ \t]*+\.[ \t]*+{_PART}){{{MOST_KEY_PARTS},}}+)"
    rf"|(?P<string>{_STRING})"
    r"|#[^\n]*+"
    rf"|(?P<long>[A-Za-z0-9_+-]{{{MOST_CHARACTERS + 1},}}+)"
    r"|[A-Za-z0-9_+-]++"
    r"|(?P<open>[\[{])"
    r"|(?P<close>[\]}])",
    re.DOTALL,
)


def limit_fault(text: str) -> Fault | None:
    """The first place where a text is beyond what is read as TOML; None for none."""
    depth = 0
    for token in _TOKEN.finditer(text):
        kind = token.lastgroup
        if kind == "dotted":
            return _fault(text, token, f"a key has at most {MOST_KEY_PARTS} parts, joined by dots")
        if kind == "long":
            message = f"a number or a key has at most {MOST_CHARACTERS} characters"
            return _fault(text, token, message)
        if kind == "open":
            depth += 1
        elif kind == "close":
            depth -= 1
        if depth > MOST_DEPTH:
            message = f"lists and tables stand inside each other at most {MOST_DEPTH} deep"
            return _fault(text, token, message)
    return None


def table_faults(data: object, path: KeyPath = ()) -> Iterator[tuple[KeyPath, str]]:
    """Yield path and message of each table with more keys than one can have."""
    items: Iterable[tuple[str | int, Any]] = ()
    if isinstance(data, dict):
        items = data.items()
        if len(data) > MOST_KEYS:
            yield path, f"a table has at most {MOST_KEYS} keys"
            return
    elif isinstance(data, list):
        items = enumerate(data)
    for key, value in items:
        yield from table_faults(value, (*path, key))


def size_faults(data: object, path: KeyPath = ()) -> Iterator[tuple[KeyPath, str]]:
    """Yield path and message of each text and each list that is longer than one can be."""
    if isinstance(data, str):
        if len(data) > MOST_TEXT:
            yield path, f"a text has at most {MOST_TEXT} characters; write longer notes after #"
    elif isinstance(data, dict):
        for key, value in data.items():
            yield from size_faults(value, (*path, key))
    elif isinstance(data, list):
        yield from _list_faults(data, path)


def _list_faults(items: list[Any], path: KeyPath) -> Iterator[tuple[KeyPath, str]]:
    if len(items) > MOST_ITEMS and path[-1] not in LONG_LISTS:
        yield path, f"a list has at most {MOST_ITEMS} items"
        return
    for index, item in enumerate(items):
        yield from size_faults(item, (*path, index))


def _fault(text: str, token: re.Match[str], message: str) -> Fault:
    return Fault(text.count("\n", 0, token.start()) + 1, "", message)
