"""Write a page that stands alone in its folder, and never over a file of others."""

from __future__ import annotations

import os
from pathlib import Path

from auditor.errors import UnusableArgumentError
from auditor.output.disk import missing_folders, remove_empty, write_beside
from auditor.output.report_folder import PAGE_FILE
from auditor.output.work_folder import saying_unwritable
from auditor.safe_text import shown_path
from auditor.written import note_written

_HEAD_BYTES = 4096


def write_single_page(directory: Path, text: str, mark: bytes) -> Path:
    """Write a page into its folder, beside its place first.

    Parameters
    ----------
    directory : Path
        Made where it does not exist.
    text : str
    mark : bytes
        What stands in the head of every such page, and of no other.

    Returns
    -------
    Path
        Of the page.

    Raises
    ------
    UnusableArgumentError
        Where it cannot be written, or another file is in its place.
    """
    page = directory / PAGE_FILE
    shown = shown_path(directory)
    with saying_unwritable(directory, "page"):
        is_there = os.path.lexists(page)
    if is_there and not _has_mark(page, mark):
        raise UnusableArgumentError(
            f"{shown}: holds {PAGE_FILE}, which is another page; nothing was changed. "
            "Name another folder with --out."
        )
    with saying_unwritable(directory, "page"):
        missing = missing_folders(directory)
        try:
            directory.mkdir(parents=True, exist_ok=True)
            write_beside(page, text)
        finally:
            remove_empty(missing)
    note_written(page)
    return page


def _has_mark(page: Path, mark: bytes) -> bool:
    try:
        with page.open("rb") as file:
            return mark in file.read(_HEAD_BYTES)
    except OSError:
        return False
