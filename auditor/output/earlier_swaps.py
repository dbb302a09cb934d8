"""Finish the changes of parts that earlier versions began, which wrote no journal.

They kept the old parts in a folder ``.replaced-…`` beside the one with the new parts, and moved one
part after the other, the old one out and the new one in. So the disk shows how far they came.
"""

from __future__ import annotations

import os
import re
import shutil
import tempfile
from collections.abc import Sequence
from pathlib import Path

from auditor.output.form import WORK_PREFIX, Form
from auditor.output.put_in_place import JOURNAL, move

_REPLACED_NAME = re.compile(r"\.replaced-[a-z0-9_]{8}")


def replaced_in(directory: Path) -> list[Path]:
    """Folders with the old parts of changes that earlier versions did not end."""
    return sorted(
        entry
        for entry in directory.iterdir()
        if _REPLACED_NAME.fullmatch(entry.name) and entry.is_dir() and not entry.is_symlink()
    )


def finish_earlier(directory: Path, works: Sequence[Path], form: Form) -> None:
    """Finish such a change, or undo it where the new parts are lost.

    Where several were left it is not known which parts belong together: all are then left alone.

    Parameters
    ----------
    directory : Path
        The place of the parts.
    works : sequence of Path
        Folders in it in which parts were made.
    form : Form

    Raises
    ------
    OSError
        Where a part cannot be moved.
    """
    kept = replaced_in(directory)
    moving = [work for work in works if _was_being_moved(work, form)]
    if len(kept) != 1 or len(moving) > 1 or not form.holds_only_ours(kept[0]):
        return
    (replaced,) = kept
    if _was_written_after(directory / form.last, replaced):
        return  # another report was written since
    if moving:
        _forward(moving[0], directory, replaced, form)
    elif not _is_done(directory, replaced, form):
        _back(directory, replaced, form)
    shutil.rmtree(replaced, ignore_errors=True)


def _was_being_moved(work: Path, form: Form) -> bool:
    """Whether all parts were made: the last one is there, or the first has left already."""
    is_moving = os.path.lexists(work / form.last) or not os.path.lexists(work / form.first)
    return is_moving and not os.path.lexists(work / JOURNAL) and form.holds_only_ours(work)


def _is_done(directory: Path, replaced: Path, form: Form) -> bool:
    return all(os.path.lexists(folder / form.last) for folder in (directory, replaced))


def _was_written_after(last: Path, replaced: Path) -> bool:
    """Whether the last part is younger than the latest move of an old part."""
    return os.path.lexists(last) and last.lstat().st_mtime_ns > replaced.stat().st_mtime_ns


def _forward(work: Path, directory: Path, replaced: Path, form: Form) -> None:
    for name in sorted(form.parts):
        if os.path.lexists(work / name):
            move(directory / name, replaced / name)
            move(work / name, directory / name, refuse=True)


def _back(directory: Path, replaced: Path, form: Form) -> None:
    new = Path(tempfile.mkdtemp(prefix=WORK_PREFIX, dir=directory))  # removed as a leftover
    for name in sorted(form.parts):
        if os.path.lexists(replaced / name):
            move(directory / name, new / name)
            move(replaced / name, directory / name, refuse=True)
