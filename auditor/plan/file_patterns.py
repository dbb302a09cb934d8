"""Which files the patterns of a shot name."""

from __future__ import annotations

import unicodedata
from fnmatch import fnmatchcase

from auditor.plan.shot_plan import Shot


def claims_file(shot: Shot, file: str) -> bool:
    """Whether a pattern of a shot names a file."""
    return any(_names(pattern, file) for pattern in shot.files)


def _names(pattern: str, file: str) -> bool:
    held_against = file if "/" in pattern else file.rpartition("/")[2]
    # Brackets are wildcards to fnmatch; in the name of a picture they are brackets.
    literal_brackets = same_letters(pattern).replace("[", "[[]")
    return fnmatchcase(same_letters(held_against), literal_brackets)


def same_letters(text: str) -> str:
    """Text in one case and one way of writing accents, in which file systems differ."""
    return unicodedata.normalize("NFC", text).casefold()
