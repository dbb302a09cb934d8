"""Names of shots and titles from the names of files, and patterns that find the files again."""

from __future__ import annotations

import os
import re
from collections.abc import Sequence
from pathlib import Path, PurePosixPath

from auditor.photograph.folder import printable_name
from auditor.plan.file_patterns import same_letters
from auditor.safe_text import file_pattern, one_line

LEAST_LETTERS = 3  # in a row, of a file's name that says something (IMG_0412 does not)
_NUMBERED = re.compile(r"^\d{2,}\s+(?=.*[^\W\d_])")
_WORD = re.compile(rf"[^\W\d_]{{{LEAST_LETTERS},}}")
_CAMERA_NAME = re.compile(r"^(img|dsc|dscf|dscn|pict?|mvimg|pxl|scan|scn|image|photo)\s*\d", re.I)


def readable(file: str) -> str:
    """The name of a file as words: ``"01-citrus_cakes.jpg"`` becomes ``"citrus cakes"``."""
    stem = PurePosixPath(file).stem
    words = " ".join(re.sub(r"[_\-+.\s]+", " ", one_line(stem)).split())
    return _NUMBERED.sub("", words)


def unique(names: Sequence[str]) -> list[str]:
    """The names, those that are there again with a number behind them."""
    taken: set[str] = set()
    numbered = []
    for number, name in enumerate(names, start=1):
        wanted = name or f"picture {number}"
        one, n = wanted, 1
        while one in taken:
            n += 1
            one = f"{wanted} {n}"
        taken.add(one)
        numbered.append(one)
    return numbered


def title_of(paths: Sequence[Path]) -> str:
    """A title from the only file or from the folder of all; empty if neither says anything.

    Parameters
    ----------
    paths : sequence of Path
        Of the pictures or pages.
    """
    folder = Path(os.path.commonpath([path.absolute().parent for path in paths])).name
    candidates = [paths[0].name] if len(paths) == 1 else []
    for name in (*candidates, folder):
        words = readable(name)
        if _WORD.search(words) and not _CAMERA_NAME.match(words):
            return words[0].upper() + words[1:]
    return ""


def patterns(paths: Sequence[Path]) -> list[str]:
    """A pattern for each file that fits it, and no two the same; empty where there is none.

    The name alone where it is the only one of its kind, else its path below the folder that all
    share.
    """
    names = [file_pattern(printable_name(path.name)) for path in paths]
    common = os.path.commonpath([path.absolute().parent for path in paths]) if paths else ""
    taken: set[str] = set()
    chosen = []
    for path, name in zip(paths, names, strict=True):
        pattern = name
        if sum(same_letters(other) == same_letters(name) for other in names) > 1:
            below = path.absolute().relative_to(common).as_posix()
            pattern = file_pattern(printable_name(below))
        chosen.append("" if same_letters(pattern) in taken else pattern)
        taken.add(same_letters(pattern))
    return chosen
