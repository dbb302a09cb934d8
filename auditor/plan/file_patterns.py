"""Which files belong to a shot by its patterns."""

from __future__ import annotations

import unicodedata
from fnmatch import fnmatchcase

from auditor.plan.shot_plan import Shot


def claims_file(shot: Shot, file: str) -> bool:
    """Whether a file fits one of a shot's patterns."""
    return any(fits_pattern(pattern, file) for pattern in shot.files)


def fits_pattern(pattern: str, file: str) -> bool:
    """Whether a file fits a pattern; one without ``/`` is for the name alone."""
    compared = file if "/" in pattern else file.rpartition("/")[2]
    # fnmatch takes brackets for wildcards; in the name of a picture they are brackets.
    literal_brackets = same_letters(pattern).replace("[", "[[]")
    return fnmatchcase(same_letters(compared), literal_brackets)


def same_letters(text: str) -> str:
    """Text in lower case, with accents encoded in one way: file systems differ in both."""
    return unicodedata.normalize("NFC", text).casefold()
