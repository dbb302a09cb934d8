"""Foreign text, such as names of files, made safe to show and to write into a plan."""

from __future__ import annotations

_ESCAPES = {
    '"': '\\"',
    "\\": "\\\\",
    "\b": "\\b",
    "\t": "\\t",
    "\n": "\\n",
    "\f": "\\f",
    "\r": "\\r",
}


def one_line(text: str) -> str:
    """Valid Unicode without control characters, so without line breaks."""
    valid = text.encode("utf-8", "replace").decode("utf-8")
    return "".join(c if c.isprintable() else "\ufffd" for c in valid)


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


def _escaped(character: str) -> str:
    if character in _ESCAPES:
        return _ESCAPES[character]
    if character.isprintable():
        return character
    code = ord(character)
    return f"\\u{code:04x}" if code <= 0xFFFF else f"\\U{code:08x}"
