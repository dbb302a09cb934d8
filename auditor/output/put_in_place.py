"""Change the parts of a folder for new ones, all or none."""

from __future__ import annotations

import os
import shutil
import tempfile
from collections.abc import Sequence
from contextlib import suppress
from pathlib import Path

from auditor.errors import UnusableArgumentError
from auditor.safe_text import shown_path

# Hidden, so that a folder of pictures that holds a report does not count it among them.
WORK_PREFIX = ".in-work-"
REPLACED_PREFIX = ".replaced-"


def put_in_place(
    work: Path, directory: Path, parts: Sequence[str], what: str, gone: Sequence[str] = ()
) -> None:
    """Rename the new parts into their folder, and the old ones away.

    Parameters
    ----------
    work : Path
        Where the new parts are; in the same file system.
    directory : Path
        Their place.
    parts : sequence of str
        Names of files and folders, in the order in which they are changed.
    what : str
        What they make, for a message: ``"report"``.
    gone : sequence of str
        Names of old parts that are not replaced but removed.

    Raises
    ------
    OSError
        Where a part cannot be moved; what was there before is back.
    UnusableArgumentError
        Where it cannot be brought back either; says where it is kept.
    """
    # Not in `work`, which is removed whatever happens.
    replaced = Path(tempfile.mkdtemp(prefix=REPLACED_PREFIX, dir=directory))
    try:
        for name in gone:
            (directory / name).rename(replaced / name)
        for name in parts:
            place = directory / name
            if os.path.lexists(place):
                place.rename(replaced / name)
            (work / name).rename(place)
    except BaseException:
        _put_back(work, directory, replaced, parts, what, gone)
        raise
    shutil.rmtree(replaced, ignore_errors=True)


def _put_back(
    work: Path,
    directory: Path,
    replaced: Path,
    parts: Sequence[str],
    what: str,
    gone: Sequence[str],
) -> None:
    """Undo a change that stopped halfway; the disk shows how far it came."""
    try:
        for name in (*parts, *gone):
            place, new, old = (folder / name for folder in (directory, work, replaced))
            if name not in gone and not os.path.lexists(new):
                place.rename(new)
            if os.path.lexists(old):
                old.rename(place)
        replaced.rmdir()
    except OSError as error:
        raise UnusableArgumentError(
            f"{shown_path(directory)}: the {what} could not be put in place "
            f"({error.strerror or error}). What was there before is kept in "
            f"{shown_path(replaced)}; move it back by hand."
        ) from error


def write_beside(path: Path, text: str) -> None:
    """Write a text file beside its place first, so that an earlier one stays whole if that fails.

    Raises
    ------
    OSError
        Where it cannot be written.
    """
    unfinished = path.with_name(f".{path.name}.part")
    try:
        unfinished.write_text(text, encoding="utf-8", newline="")
        unfinished.replace(path)
    except OSError:
        with suppress(OSError):
            unfinished.unlink(missing_ok=True)
        raise


def remove_empty(folders: Sequence[Path]) -> None:
    """Remove folders, the innermost first, that were made for something that did not come to be."""
    for folder in folders:
        if not folder.is_dir() or any(folder.iterdir()):
            return
        folder.rmdir()
