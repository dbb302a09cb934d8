"""Write a sheet beside its place and then rename it, and never over files of others."""

from __future__ import annotations

import os
import re
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from auditor.errors import UnusableArgumentError
from auditor.output.form import Form
from auditor.output.put_in_place import put_in_place
from auditor.output.work_folder import saying_unwritable, work_folder
from auditor.photograph.folder import printable_name
from auditor.safe_text import shown_path

PAGE_FILE = "index.html"
FRAMES_FOLDER = "frames"
PARTS = (FRAMES_FOLDER, PAGE_FILE)
# In the head of a page that was written here.
_MARK = b'<meta name="generator" content="auditor plan sheet">'
_HEAD_BYTES = 4096
_FRAME_NAME = re.compile(r"\d{2,}-[\w-]*\.png")
_FORM = Form(
    "sheet",
    frozenset((PAGE_FILE,)),
    {FRAMES_FOLDER: lambda name: _FRAME_NAME.fullmatch(name) is not None},
    first=FRAMES_FOLDER,
    last=PAGE_FILE,
)
MOST_NAMED = 3  # of the files in the way
LONGEST_NAME = 48  # letters of a shot's name in the name of its picture


def frame_file(number: int, name: str) -> str:
    """Name of a shot's picture: ``"01-kettle-and-clementines.png"``."""
    words = re.sub(r"[^\w]+", "-", name.casefold()).strip("-_")[:LONGEST_NAME].strip("-_")
    return f"{number:02d}-{words}.png"


@contextmanager
def sheet_in_work(directory: Path) -> Iterator[Path]:
    """Yield a folder for the parts of a sheet; they are put in place when the block ends.

    Raises
    ------
    UnusableArgumentError
        Where the folder cannot be written, or holds files that no earlier sheet put there.
    """
    with work_folder(directory, _FORM, lambda: _refuse_files_of_others(directory)) as work:
        (work / FRAMES_FOLDER).mkdir()
        yield work
        _refuse_files_of_others(directory)
        put_in_place(work, directory, PARTS, _FORM.what)


def _refuse_files_of_others(directory: Path) -> None:
    with saying_unwritable(directory, _FORM.what):
        in_the_way = _files_of_others(directory)
    if in_the_way:
        named = ", ".join(printable_name(name) for name in in_the_way)
        raise UnusableArgumentError(
            f"{shown_path(directory)}: holds {named}, not written by an earlier sheet, "
            "where the sheet would be; nothing was changed. Name another folder with --out."
        )


def _files_of_others(directory: Path) -> list[str]:
    if os.path.lexists(directory) and not directory.is_dir():
        return [directory.name]
    there = [name for name in PARTS if os.path.lexists(directory / name)]
    if not there:
        return []
    if not _is_our_page(directory / PAGE_FILE):
        return there
    frames = directory / FRAMES_FOLDER
    if FRAMES_FOLDER not in there:
        return []
    if not frames.is_dir():
        return [FRAMES_FOLDER]
    others = sorted(
        entry.name
        for entry in os.scandir(frames)
        if not _FRAME_NAME.fullmatch(entry.name) or not entry.is_file(follow_symlinks=False)
    )
    return [f"{FRAMES_FOLDER}/{name}" for name in others[:MOST_NAMED]]


def _is_our_page(page: Path) -> bool:
    try:
        with page.open("rb") as file:
            return _MARK in file.read(_HEAD_BYTES)
    except OSError:
        return False
