"""Messages about the faults of a plan, for the photographer who wrote it."""

from __future__ import annotations

import re

from pydantic import ValidationError
from pydantic_core import ErrorDetails

from auditor.errors import Fault
from auditor.plan.cross_checks import WrittenFault
from auditor.plan.models import TABLES, known_keys
from auditor.plan.toml_lines import KeyPath
from auditor.plan.unknown_keys import meant_key, other_name
from auditor.plan.written_values import shown

# Examples of the keys whose value is a table or a list.
EXAMPLES = {
    "series": "[series] with its keys below",
    "shot": "[[shot]] (two brackets) with its keys below",
    "tolerance": "[tolerance] with its keys below",
    "subject": 'subject = { at = "upper right", size = 0.2 }',
    "supporting": 'supporting = [ { name = "honey jar", at = [0.30, 0.70] } ]',
    "light": 'light = { from = "back left" }',
    "negative_space": 'negative_space = { fraction = 0.45, side = "left" }',
    "colour_temperature": "colour_temperature = { kelvin = 6000 }",
    "files": 'files = ["*kettle*"]',
    "palette": 'palette = ["orange", "#2f4a3c"]',
    "background": 'background = "white" or background = "#ffffff"',
    "surface": 'surface = "slate" or surface = "#6f6a63"',
    "without": 'without = ["fork", "second plate"]',
    "on_purpose": 'on_purpose = "the window needed it", or on_purpose = { light = "…" }',
    "set": "[set] with its keys below",
}
_MISSING = {
    "name": 'every shot needs a name, as in name = "kettle and clementines"',
    "without": 'what must not be there needs a name, as in { name = "napkin" }',
}

MOST_LINES_NAMED = 8  # of those with the same fault

# Quotes of several languages that word processors put in place of the straight ones.
_CURLY = "\u201c\u201d\u201e\u201f\u2018\u2019\u201a\u00ab\u00bb\u2039\u203a"
_CURLY_AROUND_VALUE = re.compile(rf"[=\[,{{:]\s*[{_CURLY}]|[{_CURLY}]\s*(?:[,\]}}]|#.*|$)")

# Parts of the standard library's messages, and what they mean for the writer of the file.
_SYNTAX = (
    (
        "after a key",
        'a key must be followed by = and its value, as in technique = "centred"',
    ),
    ("Invalid value", "a value is missing or wrong: text stands in quotes, decimals as 0.5"),
    ("Cannot overwrite a value", "this key was already given in the same table"),
    ("Duplicate inline table key", "this key was already given in the same table"),
    ("Cannot declare", "this table was already begun above; several shots are each [[shot]]"),
    ("Cannot mutate immutable", "this table was closed above and cannot be added to"),
    ("Cannot redefine", "this table was already begun above"),
    ("Unclosed array", "a list is not closed: ] or a comma between its items is missing"),
    ("Unclosed inline table", "a table is not closed: } or a comma between its keys is missing"),
    ("Unterminated string", "the quotes around a text are not closed"),
    ('Expected "\'"', "the quotes around a text are not closed"),
    ("Illegal character", "a text must end, with its closing quotes, in the line where it begins"),
    ("Unescaped '\\'", 'write \\\\ for a backslash in "…", or put the text in single quotes'),
    ("Expected newline", "something follows a value: write one key a line, and text in quotes"),
    ("at the end of a table declaration", "the head of a table is not closed: ] is missing"),
    ("at the end of an array declaration", "the head of a table is not closed: ]] is missing"),
    (
        "Invalid statement",
        "a line must start with a key, with the [head] of a table, or with # (a comment)",
    ),
    ("Invalid initial character", "a key must start with a letter, a digit, _ or -, or a quote"),
)


def syntax_fault(error: Exception, text: str) -> Fault:
    """Say in plain words why a text is not TOML."""
    original = str(error)
    place = re.search(r"\(at line (\d+), column (\d+)\)", original)
    line = int(place[1]) if place else max(1, len(text.splitlines()))
    curly = _curly_lines(text)
    if any(abs(one - line) <= 1 for one in curly):
        return Fault(curly[0], "", _curly_message(text, curly))
    message = next(
        (words for part, words in _SYNTAX if part in original), "this cannot be read as TOML"
    )
    where = f" (about column {place[2]})" if place else " (at the end of the file)"
    return Fault(line, "", message + where)


def _curly_lines(text: str) -> list[int]:
    """Lines in which a typographic quote stands where a value begins or ends."""
    return [n for n, line in enumerate(text.splitlines(), 1) if _CURLY_AROUND_VALUE.search(line)]


def _curly_message(text: str, lines: list[int]) -> str:
    found = _CURLY_AROUND_VALUE.search(text.splitlines()[lines[0] - 1])
    marks = "" if found is None else next(mark for mark in found.group() if mark in _CURLY)
    more = ", ".join(str(line) for line in lines[1 : MOST_LINES_NAMED + 1])
    left_out = " and more" if len(lines) > MOST_LINES_NAMED + 1 else ""
    also = f"; also in line{'s' if len(lines) > 2 else ''} {more}{left_out}" if more else ""
    return (
        f"{marks} is a typographic quote, as word processors make them: write the straight "
        f'quotes "…" around a text{also}'
    )


def written_faults(error: ValidationError) -> list[WrittenFault]:
    """Path and message of each value or key that the models do not accept."""
    return [(details["loc"], _message(details)) for details in error.errors(include_url=False)]


def _message(details: ErrorDetails) -> str:
    path, value = details["loc"], details["input"]
    match details["type"]:
        case "written_value":
            return details["msg"]
        case "extra_forbidden":
            return _unknown_key(path)
        case "missing":
            return _MISSING[_list_of(path) or str(path[-1])]
        case _:
            return _wrong_type(path, value)


def _list_of(path: KeyPath) -> str:
    """The list of things in which a value stands; empty for none."""
    return next((str(part) for part in path if part == "without"), "")


def _unknown_key(path: KeyPath) -> str:
    names = [part for part in path[:-1] if isinstance(part, str)]
    table = names[-1] if names else ""
    if path[-1] == "on_purpose":
        return "a reason is one shot's: write it in its [[shot]]"
    if (meant := other_name(table, str(path[-1]))) is not None:
        return f"nothing of that name is known here; did you mean {meant}?"
    elsewhere = [
        name
        for name in TABLES
        if name not in {table, "on_purpose"} and path[-1] in known_keys(name)
    ]
    if elsewhere:
        places = " or ".join(name if name else "the head of the file" for name in elsewhere)
        return f"this key does not belong here but in {places}"
    suggestion = meant_key(table, str(path[-1]))
    if suggestion:
        return f"nothing of that name is known here; did you mean {suggestion}?"
    return f"nothing of that name is known here; known are {', '.join(known_keys(table))}"


def _wrong_type(path: KeyPath, value: object) -> str:
    key = next(part for part in reversed(path) if isinstance(part, str))
    return f"{shown(value)} is not right: write it like {EXAMPLES[key]}"
