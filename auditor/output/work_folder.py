"""The folder beside its place in which a report or a sheet is made."""

from __future__ import annotations

import os
import tempfile
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path

from auditor.errors import UnusableArgumentError
from auditor.output.disk import is_about, missing_folders, reason_of, remove_empty
from auditor.output.folder_lock import only_writer
from auditor.output.form import WORK_PREFIX, Form
from auditor.output.leftovers import has_leftovers, put_in_order
from auditor.output.put_in_place import remove_work
from auditor.safe_text import shown_path


@contextmanager
def work_folder(
    directory: Path, form: Form, refuse_files_of_others: Callable[[], None]
) -> Iterator[Path]:
    """Yield a folder to make something in; what was not put in place is removed afterwards.

    Parameters
    ----------
    directory : Path
        Its place; made where it is missing. What a killed run left there is put in order first.
    form : Form
    refuse_files_of_others : callable
        Raises if something else is in the place.

    Raises
    ------
    UnusableArgumentError
        Where the folder cannot be made or written, another process writes there, or the disk is
        full before all is written.
    """
    with saying_unwritable(directory, form.what):
        missing = missing_folders(directory)
        try:
            directory.mkdir(parents=True, exist_ok=True)
            with only_writer(directory, form.what) as is_alone:
                put_in_order(directory, form, is_alone=is_alone)
                refuse_files_of_others()
                work = Path(tempfile.mkdtemp(prefix=WORK_PREFIX, dir=directory))
                try:
                    yield work
                finally:
                    remove_work(work)
        finally:
            remove_empty(missing)


def settle(directory: Path, form: Form) -> None:
    """Put in order what a killed run left in a folder, if it left something.

    Raises
    ------
    UnusableArgumentError
        Where it cannot be put in order, or another process writes there.
    """
    with saying_unwritable(directory, form.what):
        if has_leftovers(directory):
            with only_writer(directory, form.what) as is_alone:
                put_in_order(directory, form, is_alone=is_alone)


@contextmanager
def saying_unwritable(directory: Path, what: str) -> Iterator[None]:
    """Turn errors of the disk into a sentence.

    Raises
    ------
    UnusableArgumentError
        In place of an `OSError` about the folder, or about the disk that it is on.
    """
    if "\0" in os.fspath(directory):
        raise _unwritable(directory, what, ValueError("a path cannot have a NUL in it"))
    try:
        yield
    except OSError as error:
        if not is_about(error, directory):
            raise
        raise _unwritable(directory, what, error) from error


def _unwritable(directory: Path, what: str, error: OSError | ValueError) -> UnusableArgumentError:
    return UnusableArgumentError(
        f"{shown_path(directory)}: the {what} cannot be written there "
        f"({reason_of(error)}). Name another folder with --out, or make room on the disk."
    )
