"""Find the line of each key in a TOML text, so that a fault can be reported with its line.

The standard library's reader does not keep lines. This module reads only texts that it has already
accepted (TOML 1.0, toml.io/en/v1.0.0), so nothing is checked here a second time.
"""

from __future__ import annotations

import re
import tomllib
from bisect import bisect_right
from dataclasses import dataclass, field

KeyPath = tuple[str | int, ...]

_BARE_KEY = re.compile(r"[A-Za-z0-9_-]+")
_BLANK = re.compile(r"[ \t]*")
_BLANK_LINES_AND_COMMENTS = re.compile(r"(?:[ \t\r\n]+|#[^\n]*)*")
_SCALAR = re.compile(r"[^,\]}#\n]+")
# Triple quotes come first: otherwise """ would be read as an empty string and an opening quote. One
# or two quotes may stand directly before the closing three.
_STRING = re.compile(
    r'"""(?:[^\\]|\\.)*?"""(?:"{0,2})'
    r"|'''.*?'''(?:'{0,2})"
    r'|"(?:[^"\\\n]|\\.)*"'
    r"|'[^'\n]*'",
    re.DOTALL,
)


def locate_keys(text: str) -> dict[KeyPath, int]:
    """Line of each key, table header and array item of a valid TOML text.

    Returns
    -------
    dict of tuple to int
        For example ``("shot", 0, "light", "clock")`` to 12. Array items are counted from 0, lines
        from 1. A table without a header of its own has the line of its first key.
    """
    return _Walk(text.replace("\r\n", "\n")).whole_text()


def line_of(lines: dict[KeyPath, int], path: KeyPath) -> int:
    """Line of a key; if it is missing, of the nearest table around it; 0 if there is none."""
    for length in range(len(path), 0, -1):
        if path[:length] in lines:
            return lines[path[:length]]
    return 0


def key_as_written(path: KeyPath) -> str:
    """Write a path as in the file, items counted from 1: ``shot[2].light.clock``."""
    written = ""
    for part in path:
        if isinstance(part, int):
            written += f"[{part + 1}]"
        else:
            plain = part if _BARE_KEY.fullmatch(part) else '"' + part.replace('"', '\\"') + '"'
            written += f".{plain}" if written else plain
    return written


@dataclass(slots=True)
class _Walk:
    """A position in the text, and the lines of the keys before it."""

    text: str
    position: int = 0
    lines: dict[KeyPath, int] = field(default_factory=dict)
    n_tables: dict[KeyPath, int] = field(default_factory=dict)
    line_starts: list[int] = field(default_factory=list)

    def whole_text(self) -> dict[KeyPath, int]:
        self.line_starts = [0, *(match.end() for match in re.finditer("\n", self.text))]
        table: KeyPath = ()
        self._skip(_BLANK_LINES_AND_COMMENTS)
        while self.position < len(self.text):
            if self.text[self.position] == "[":
                table = self._header()
            else:
                self._key_and_value(table)
            self._skip(_BLANK_LINES_AND_COMMENTS)
        return self.lines

    def _skip(self, pattern: re.Pattern[str]) -> str:
        """Move past a match at this position and return its text."""
        match = pattern.match(self.text, self.position)
        if match is None:
            return ""
        self.position = match.end()
        return match.group()

    def _note(self, path: KeyPath, start: int) -> None:
        self.lines.setdefault(path, bisect_right(self.line_starts, start))

    def _header(self) -> KeyPath:
        """``[table]`` or ``[[item of an array of tables]]``."""
        start = self.position
        is_array = self.text.startswith("[[", start)
        self.position += 2 if is_array else 1
        keys = self._dotted_key()
        self.position = self.text.index("]", self.position) + (2 if is_array else 1)
        table: KeyPath = ()
        for depth, key in enumerate(keys):
            table += (key,)
            self._note(table, start)
            if is_array and depth == len(keys) - 1:
                self.n_tables[table] = self.n_tables.get(table, 0) + 1
            if table in self.n_tables:
                table += (self.n_tables[table] - 1,)
                self._note(table, start)
        if not is_array:
            self.lines[table] = bisect_right(self.line_starts, start)
        return table

    def _dotted_key(self) -> list[str]:
        keys = []
        while True:
            self._skip(_BLANK)
            quoted = self._skip(_STRING)
            keys.append(_unquoted(quoted) if quoted else self._skip(_BARE_KEY))
            self._skip(_BLANK)
            if self.text[self.position] != ".":
                return keys
            self.position += 1

    def _key_and_value(self, table: KeyPath) -> None:
        start = self.position
        path = table
        for key in self._dotted_key():
            path += (key,)
            self._note(path, start)
        self.position = self.text.index("=", self.position) + 1
        self._skip(_BLANK)
        self._value(path)

    def _value(self, path: KeyPath) -> None:
        opening = self.text[self.position]
        if opening == "[":
            self._array(path)
        elif opening == "{":
            self._inline_table(path)
        elif not self._skip(_STRING):
            self._skip(_SCALAR)

    def _array(self, path: KeyPath) -> None:
        self.position += 1
        n_items = 0
        while not self._at_end("]"):
            self._note((*path, n_items), self.position)
            self._value((*path, n_items))
            n_items += 1

    def _inline_table(self, path: KeyPath) -> None:
        self.position += 1
        while not self._at_end("}"):
            self._key_and_value(path)

    def _at_end(self, closing: str) -> bool:
        """Move past blanks, comments and a comma; True if the closing bracket was passed, too."""
        self._skip(_BLANK_LINES_AND_COMMENTS)
        if self.text[self.position] == ",":
            self.position += 1
            self._skip(_BLANK_LINES_AND_COMMENTS)
        if self.text[self.position] != closing:
            return False
        self.position += 1
        return True


def _unquoted(quoted: str) -> str:
    """The text of a quoted key, with its escapes resolved."""
    return str(tomllib.loads(f"key = {quoted}")["key"])
