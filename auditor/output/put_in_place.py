"""Change the parts of a folder for new ones, all or none."""

from __future__ import annotations

import os
import shutil
import tempfile
from collections.abc import Sequence
from pathlib import Path

from auditor.errors import UnusableArgumentError
from auditor.photograph.folder import printable_name

# Hidden, so that a folder of pictures that holds a report does not count it among them.
WORK_PREFIX = ".in-work-"
REPLACED_PREFIX = ".replaced-"


def put_in_place(
    work: Path, directory: Path, parts: Sequence[str], what: str, maybe: Sequence[str] = ()
) -> None:
    """Rename the new parts into their folder, and the old ones away.

    Parameters
    ----------
    work : Path
        Where the new parts are; in the same file system.
    directory : Path
        Their place.
    parts : sequence of str
        Names of files and folders.
    what : str
        What they make, for a message: ``"report"``.
    maybe : sequence of str
        Parts that need not be there: what is old goes away in any case.

    Raises
    ------
    OSError
        Where a part cannot be moved; what was there before is back.
    UnusableArgumentError
        Where it cannot be brought back either; says where it is kept.
    """
    # Not in `work`, which is removed whatever happens.
    replaced = Path(tempfile.mkdtemp(prefix=REPLACED_PREFIX, dir=directory))
    made = [*parts, *(name for name in maybe if os.path.lexists(work / name))]
    gone = [name for name in maybe if name not in made]
    try:
        for name in (*made, *gone):
            place = directory / name
            if os.path.lexists(place):
                place.rename(replaced / name)
            if name in made:
                (work / name).rename(place)
    except BaseException:
        _put_back(work, directory, replaced, made, gone, what)
        raise
    shutil.rmtree(replaced, ignore_errors=True)


def _put_back(
    work: Path, directory: Path, replaced: Path, made: Sequence[str], gone: Sequence[str], what: str
) -> None:
    """Undo a change that stopped halfway; the disk shows how far it came."""
    try:
        for name in made:
            place, new = directory / name, work / name
            if not os.path.lexists(new):
                place.rename(new)
        for name in (*made, *gone):
            old = replaced / name
            if os.path.lexists(old):
                old.rename(directory / name)
        replaced.rmdir()
    except OSError as error:
        raise UnusableArgumentError(
            f"{printable_name(str(directory))}: the {what} could not be put in place "
            f"({error.strerror or error}). What was there before is kept in "
            f"{printable_name(str(replaced))}; move it back by hand."
        ) from error


def remove_empty(folders: Sequence[Path]) -> None:
    """Remove folders, the innermost first, that were made for something that did not come to be."""
    for folder in folders:
        if not folder.is_dir() or any(folder.iterdir()):
            return
        folder.rmdir()
