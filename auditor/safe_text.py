"""Foreign text, such as names of files, made safe to show."""

from __future__ import annotations


def one_line(text: str) -> str:
    """Valid Unicode without control characters, so without line breaks."""
    valid = text.encode("utf-8", "replace").decode("utf-8")
    return "".join(c if c.isprintable() else "\ufffd" for c in valid)
