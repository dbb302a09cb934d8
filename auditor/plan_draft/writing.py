"""Put a draft in its place: read again first, then written beside and renamed."""

from __future__ import annotations

import os
import tempfile
from collections.abc import Iterator, Mapping
from contextlib import contextmanager, suppress
from dataclasses import replace
from pathlib import Path

from auditor.errors import InvalidPlanError, UnusableArgumentError
from auditor.output.disk import reason_of, sync, write_synced
from auditor.photograph.folder import PICTURE_EXTENSIONS
from auditor.plan.reading import read_plan
from auditor.plan_draft.draft import PlanDraft
from auditor.plan_draft.drafting import Drafted
from auditor.plan_draft.pages import understood_pictures
from auditor.plan_draft.phrases import shown_in
from auditor.plan_draft.toml_text import toml_text
from auditor.safe_text import shown_path
from auditor.vocabulary.counts import count
from auditor.written import note_written


def check_place(place: Path, *, overwrite: bool) -> None:
    """Refuse a place where a plan cannot be written, before any work is done.

    Raises
    ------
    UnusableArgumentError
        With what to do about it.
    """
    shown = shown_path(place)
    if place.is_dir():
        raise UnusableArgumentError(f"{shown}: is a folder. Name the file in it, as in PLAN.toml.")
    if place.suffix.lower() in PICTURE_EXTENSIONS:
        raise UnusableArgumentError(
            f"{shown}: has the name of a picture. Name the plan's file, as in PLAN.toml."
        )
    if not place.parent.is_dir():
        folder = shown_path(place.parent)
        raise UnusableArgumentError(f"{folder}: there is no such folder for the plan.")
    check_free(place, overwrite=overwrite)


def check_free(place: Path, *, overwrite: bool) -> None:
    """Refuse to write over something that is there, unless that is wanted.

    Raises
    ------
    UnusableArgumentError
        With what to do about it.
    """
    if os.path.lexists(place) and not overwrite:
        raise UnusableArgumentError(
            f"{shown_path(place)}: is there already, and nothing was changed. Name another"
            " file with --out, or replace this one with --overwrite."
        )


def save(drafted: Drafted, place: Path, *, overwrite: bool) -> tuple[str, ...]:
    """Write a draft, and beside it a picture of each drawn page that shows what was understood.

    Returns
    -------
    tuple of str
        What was written, in sentences.

    Raises
    ------
    UnusableArgumentError
        A file cannot be written, or something came to lie there meanwhile.
    """
    pictures = understood_pictures(place, drafted.pages) if drafted.pages else {}
    names = [picture.name for picture in pictures]
    shown = (shown_in(names),) if names else ()
    draft = replace(drafted.draft, comments=(*drafted.draft.comments, *shown))
    text = draft_text(draft).encode()
    _write_files({place: text, **pictures}, overwrite=overwrite)
    return (f"{count(len(draft.shots), 'shot')} drafted.", *shown)


def draft_text(draft: PlanDraft) -> str:
    """The text of a draft, read again as an audit will read it.

    Raises
    ------
    RuntimeError
        It does not load, which is a fault of this program.
    UnusableArgumentError
        No file can be written to read it from.
    """
    text = toml_text(draft)
    try:
        with tempfile.TemporaryDirectory() as folder:
            path = Path(folder) / "draft.toml"
            path.write_text(text, encoding="utf-8", newline="")
            read_plan(path)
    except InvalidPlanError as error:
        raise RuntimeError(f"the draft does not load: {error}") from error
    except OSError as error:
        raise UnusableArgumentError(
            f"The draft cannot be checked, because no temporary file can be written "
            f"({reason_of(error)}). Make room on the disk, or set TMPDIR to another folder."
        ) from error
    return text


def _write_files(contents: Mapping[Path, bytes], *, overwrite: bool) -> None:
    """Write files beside their places and rename them once all are written.

    Raises
    ------
    UnusableArgumentError
        A place cannot be written, or something came to lie there meanwhile.
    """
    works = {place: place.with_name(f".{place.name}.part") for place in contents}
    try:
        for place, content in contents.items():
            check_free(place, overwrite=overwrite)
            with _saying_unwritable(place):
                write_synced(works[place], content)
        for place, work in works.items():
            with _saying_unwritable(place):
                work.replace(place)
                note_written(place)
    finally:
        for work in works.values():
            with suppress(OSError):
                work.unlink(missing_ok=True)
    for folder in {place.parent for place in contents}:
        with _saying_unwritable(folder):
            sync(folder)


@contextmanager
def _saying_unwritable(place: Path) -> Iterator[None]:
    try:
        yield
    except OSError as error:
        raise _unwritable(place, error) from error


def _unwritable(place: Path, error: OSError) -> UnusableArgumentError:
    return UnusableArgumentError(
        f"{shown_path(place)}: cannot be written ({reason_of(error)}). "
        "Name another file with --out, or make room on the disk."
    )
