"""Write a report beside its place and then rename it, so that none is ever half old, half new."""

from __future__ import annotations

import json
import os
from collections.abc import Iterator, Mapping, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from auditor.errors import UnusableArgumentError
from auditor.output.form import Form
from auditor.output.previews import PICTURES_FOLDER, PROOFS_FOLDER, is_preview_name
from auditor.output.put_in_place import put_in_place
from auditor.output.work_folder import saying_unwritable, settle, work_folder
from auditor.safe_text import shown_path

RECORD_FILE = "audit.json"
TABLE_FILE = "measurements.csv"
VERDICTS_FILE = "verdicts.csv"
PAGE_FILE = "index.html"
SUMMARY_FILE = "summary.html"
# The first comes first and leaves last: a page is there only while its pictures are, and the record
# only while all that every report has is.
TEXT_FILES = (TABLE_FILE, VERDICTS_FILE, PAGE_FILE, RECORD_FILE)
PARTS = (PICTURES_FOLDER, *TEXT_FILES)
# Files that only some reports have, by what their record calls them.
OPTIONAL_FILES = {"summary": SUMMARY_FILE}
# Folders that hold nothing but small pictures of ours; that of the proofs is optional.
_OF_PICTURES = (PICTURES_FOLDER, PROOFS_FOLDER)
# A JSON file with these keys is a record that auditor wrote, in any version.
_RECORD_KEYS = frozenset(("schema_version", "auditor_version"))
# Files that file managers put into a folder, and make again when they are lost.
_FOLDER_VIEW_FILES = frozenset((".DS_Store", "Thumbs.db", "desktop.ini"))
MOST_NAMED = 3  # of the files in the way: enough to know which they are


@dataclass(frozen=True, slots=True)
class ReportInWork:
    """A report that is being made beside its place.

    Attributes
    ----------
    work : Path
        Where it is made.
    directory : Path
        Its place.
    proofs : Path or None
        Folder for proofs of the advised versions; None if none are wanted.
    """

    work: Path
    directory: Path
    proofs: Path | None = None

    @property
    def pictures(self) -> Path:
        """Folder for the previews."""
        return self.work / PICTURES_FOLDER

    def publish(self, texts: Mapping[str, str]) -> None:
        """Write the files, and put all in place of an earlier report.

        Parameters
        ----------
        texts : mapping of str to str
            The text of each of `TEXT_FILES`, and of those of `OPTIONAL_FILES` that are wanted,
            with the line ends that it is to have. What an earlier report has of the latter and
            this one does not is removed.

        Raises
        ------
        UnusableArgumentError
            Where the files cannot be written, or others came to lie in their places meanwhile.
        """
        wanted = [name for name in OPTIONAL_FILES.values() if name in texts]
        refuse_files_of_others(self.directory, self._optional(wanted))
        with saying_unwritable(self.directory, _FORM.what):
            for name in (*TEXT_FILES, *wanted):
                (self.work / name).write_text(texts[name], encoding="utf-8", newline="")
            self.put_in_place(wanted)

    def put_in_place(self, optional: Sequence[str] = ()) -> None:
        """Change the old parts for the new ones, all or none; raises as `put_in_place`."""
        parts = (*PARTS, *self._optional(optional))
        gone = [name for name in _own_optional_parts(self.directory) if name not in parts]
        put_in_place(self.work, self.directory, parts, "report", gone)

    def _optional(self, files: Sequence[str]) -> list[str]:
        """Optional files, and the proofs if they are wanted."""
        return [*files, *([] if self.proofs is None else [PROOFS_FOLDER])]


@contextmanager
def report_in_work(
    directory: Path, optional: Sequence[str] = (), *, proofs: bool = False
) -> Iterator[ReportInWork]:
    """Make room for a report; whatever was not published is removed afterwards.

    Parameters
    ----------
    directory : Path
        Its place.
    optional : sequence of str
        Those of `OPTIONAL_FILES` that it will have.
    proofs : bool
        True to make room for proofs, too.

    Raises
    ------
    UnusableArgumentError
        Where the folder cannot be made or written, holds files that are not a report's, or the
        disk is full before the report is whole.
    """
    wanted = [*optional, *([PROOFS_FOLDER] if proofs else [])]
    with work_folder(directory, _FORM, lambda: refuse_files_of_others(directory, wanted)) as work:
        report = ReportInWork(work, directory, work / PROOFS_FOLDER if proofs else None)
        for folder in (report.pictures, report.proofs):
            if folder is not None:
                folder.mkdir()
        yield report


def settle_report(directory: Path) -> None:
    """Make a report whole that a killed run left in parts; raises as `settle`."""
    settle(directory, _FORM)


def refuse_files_of_others(directory: Path, optional: Sequence[str] = ()) -> None:
    """Refuse a folder in which a report would replace anything but an earlier report.

    Raises
    ------
    UnusableArgumentError
        With the names that are in the way.
    """
    with saying_unwritable(directory, _FORM.what):
        in_the_way = _files_of_others(directory, optional)
    if in_the_way:
        named = ", ".join(shown_path(name) for name in in_the_way)
        raise UnusableArgumentError(
            f"{shown_path(directory)}: holds {named}, not written by an earlier audit, "
            "where the report would be; nothing was changed. Name another folder with --out."
        )


def _files_of_others(directory: Path, optional: Sequence[str]) -> list[str]:
    there = [name for name in (*PARTS, *optional) if os.path.lexists(directory / name)]
    if not there:
        return []
    if not is_report(directory):
        return there
    own = (*_OF_PICTURES, *_own_optional_files(directory))
    if theirs := [name for name in optional if name in there and name not in own]:
        return theirs
    folders = [name for name in _OF_PICTURES if name in there]
    return [other for name in folders for other in _others_in(directory, name)][:MOST_NAMED]


def _others_in(directory: Path, name: str) -> list[str]:
    """What lies among the small pictures and is none; the folder itself if it is no folder."""
    pictures = directory / name
    if not pictures.is_dir():
        return [name]
    others = sorted(entry.name for entry in os.scandir(pictures) if not _is_preview(entry))
    return [f"{name}/{other}" for other in others]


def is_report(directory: Path) -> bool:
    """Whether a folder holds the record of an earlier audit."""
    return _our_record(directory) is not None


def _our_record(directory: Path) -> dict[str, Any] | None:
    try:
        record = json.loads((directory / RECORD_FILE).read_bytes())
    except (FileNotFoundError, ValueError, RecursionError):
        return None
    return record if isinstance(record, dict) and record.keys() >= _RECORD_KEYS else None


def _own_optional_files(directory: Path) -> list[str]:
    """The optional files that an earlier report has, by its record."""
    forms = (_our_record(directory) or {}).get("forms")
    named = forms if isinstance(forms, list) else []
    files = [file for form, file in OPTIONAL_FILES.items() if form in named]
    return [name for name in files if os.path.lexists(directory / name)]


def _own_optional_parts(directory: Path) -> list[str]:
    """The optional files that an earlier report has, and its proofs."""
    proofs = directory / PROOFS_FOLDER
    is_ours = is_report(directory) and proofs.is_dir()
    own_proofs = [PROOFS_FOLDER] if is_ours and not _others_in(directory, PROOFS_FOLDER) else []
    return [*_own_optional_files(directory), *own_proofs]


def _is_preview(entry: os.DirEntry[str]) -> bool:
    return _is_our_name(entry.name) and entry.is_file(follow_symlinks=False)


def _is_our_name(name: str) -> bool:
    return is_preview_name(name) or name in _FOLDER_VIEW_FILES


_FORM = Form(
    "report",
    frozenset((*TEXT_FILES, *OPTIONAL_FILES.values())),
    dict.fromkeys(_OF_PICTURES, _is_our_name),
    first=PICTURES_FOLDER,
    last=RECORD_FILE,
)


def replace_pages(directory: Path, texts: Mapping[str, str]) -> None:
    """Write pages of a report anew, all or none.

    Parameters
    ----------
    directory : Path
        The report's folder.
    texts : mapping of str to str
        By the name of the page.

    Raises
    ------
    UnusableArgumentError
        Where they cannot be written; the earlier pages are then untouched.
    """
    with work_folder(directory, _FORM, lambda: None) as work:
        for name, text in texts.items():
            (work / name).write_text(text, encoding="utf-8", newline="")
        put_in_place(work, directory, tuple(texts), _FORM.what)
