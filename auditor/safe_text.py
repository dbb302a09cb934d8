"""Foreign text made safe for each place where it is shown or written: one function a place.

Foreign are the names of files and folders, what stands in metadata, plans and rules, and the
messages of libraries. Everywhere a text is valid Unicode without controls (a terminal obeys some),
line breaks, marks that change the direction of what follows, characters without width, tags and
private characters; U+FFFD stands for each, so that their place is seen, and ? for a lone surrogate.
JSON alone keeps them, as escapes: there a name must still name its file.
"""

from __future__ import annotations

import re
import unicodedata
from pathlib import Path

_ESCAPES = {
    '"': '\\"',
    "\\": "\\\\",
    "\b": "\\b",
    "\t": "\\t",
    "\n": "\\n",
    "\f": "\\f",
    "\r": "\\r",
}
_REPLACEMENT = "\ufffd"
# Bytes of a name that are no text stand as lone surrogates (PEP 383).
_SURROGATES = re.compile("[\ud800-\udfff]")

MOST_LETTERS = 300
"""Of a word on a terminal: more than the name of a file can have (255 bytes on most systems), fewer
than fill a screen; no source."""
_OVERLONG = re.compile(rf"\S{{{MOST_LETTERS + 1},}}")

# A spreadsheet takes a text that starts like this for a formula (OWASP, CSV Injection); with the
# characters of full width that some take for the same. Blanks and quotes before it do not hide it.
_FORMULA = re.compile("[\\s\"'`\u2018\u2019\u201c\u201d]*[=+\\-@\uff1d\uff0b\uff0d\uff20]")
_CELL_STARTS = ("\t", "\r", "\n")


def one_line(text: str) -> str:
    """Valid Unicode on one line: what is not printable becomes U+FFFD, a lone surrogate ?."""
    if text.isprintable():
        return text
    valid = text.encode("utf-8", "replace").decode("utf-8")
    return "".join(c if c.isprintable() else _stand_in(c) for c in valid)


def for_terminal(text: str) -> str:
    """Lines for a terminal: no codes in them, and a word that would fill the screen is shortened.

    A line feed ends a line; a foreign text that is put into one must be `one_line` before.
    """
    return "\n".join(_OVERLONG.sub(_shortened, one_line(line)) for line in text.split("\n"))


def for_page(text: str) -> str:
    """Text of an HTML page; the templates escape its markup."""
    return one_line(text)


def for_csv(text: str) -> str:
    """Text of a cell that no spreadsheet takes for a formula: an apostrophe stands before it."""
    is_formula = text.startswith(_CELL_STARTS) or _FORMULA.match(text) is not None
    return f"'{one_line(text)}" if is_formula else one_line(text)


def for_json(document: str) -> str:
    """A JSON document in which what is not printable is written as its escape.

    The values stay what they are: the name of a file still names it.
    """
    if document.replace("\n", "").isprintable():
        return document
    lines = document.split("\n")
    return "\n".join(line if line.isprintable() else _escaped_line(line) for line in lines)


def quoted(text: str) -> str:
    """Text as a TOML string: whatever is in it, it stays one string on one line."""
    valid = text.encode("utf-8", "replace").decode("utf-8")
    return '"' + "".join(_escaped(character) for character in valid) + '"'


def file_pattern(name: str) -> str:
    """A name of a file, or its path with ``/``, as a pattern of a plan.

    ``?`` stands for each character that a pattern cannot have: a backslash, one that does not
    print, and blanks around the name.
    """
    shown = "".join(c if c.isprintable() and c != "\\" else "?" for c in name)
    middle = shown.strip()
    before = len(shown) - len(shown.lstrip())
    return "?" * before + middle + "?" * (len(shown) - before - len(middle))


def shown_path(path: Path | str) -> str:
    """A path in a message; of bytes that are no text, U+FFFD stands for each."""
    return one_line(_SURROGATES.sub(_REPLACEMENT, str(path)))


def _stand_in(character: str) -> str:
    """A blank for other blanks, such as the one that does not break or the wide one of Japanese."""
    return " " if unicodedata.category(character) == "Zs" else _REPLACEMENT


def _shortened(word: re.Match[str]) -> str:
    kept = MOST_LETTERS // 2
    return f"{word[0][:kept]}…{word[0][-kept:]}"


def _escaped(character: str) -> str:
    if character in _ESCAPES:
        return _ESCAPES[character]
    if character.isprintable():
        return character
    code = ord(character)
    return f"\\u{code:04x}" if code <= 0xFFFF else f"\\U{code:08x}"


def _escaped_line(line: str) -> str:
    return "".join(c if c.isprintable() else _json_escape(c) for c in line)


def _json_escape(character: str) -> str:
    """An escape of JSON (RFC 8259, section 7): beyond U+FFFF as a pair of surrogates."""
    units = character.encode("utf-16-be", "surrogatepass")
    pairs = zip(units[::2], units[1::2], strict=True)
    return "".join(f"\\u{high:02x}{low:02x}" for high, low in pairs)
