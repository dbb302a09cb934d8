"""Change the parts of a folder for new ones, all or none, even if the process is killed.

All old parts leave before the first new one comes: whoever looks meanwhile sees parts of one report
alone. A journal, on the disk before the first rename, says what is to be done. Each rename can be
told from the disk to be done or not, so that another process can finish, or undo, the change of
one that was killed.
"""

from __future__ import annotations

import errno
import json
import os
import shutil
from collections.abc import Collection, Mapping, Sequence
from contextlib import suppress
from dataclasses import dataclass
from pathlib import Path

from auditor.errors import UnusableArgumentError
from auditor.output.disk import reason_of, sync, sync_all, write_beside
from auditor.safe_text import shown_path
from auditor.written import note_written

# In the folder in which the new parts are made.
JOURNAL = "swap.json"
REPLACED = "replaced"
_FORMAT = 1


def put_in_place(
    work: Path, directory: Path, parts: Sequence[str], what: str, gone: Sequence[str] = ()
) -> None:
    """Rename the old parts out of their folder, and the new ones into it.

    Parameters
    ----------
    work : Path
        Where the new parts are; in the same file system. Old ones are kept there meanwhile.
    directory : Path
        Their place.
    parts : sequence of str
        Names of files and folders. The last ones leave first and come last.
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
    for name in parts:
        sync_all(work / name)
    had = tuple(name for name in parts if os.path.lexists(directory / name))
    sizes = {name: _size(work / name) for name in parts}
    swap = Swap(work, directory, sizes, had, tuple(gone))
    try:
        swap.write_journal()
        swap.forward()
        swap.end()
    except BaseException:
        if os.path.lexists(work / JOURNAL):
            _undo(swap, what)
        elif swap.is_forward():
            note_written(directory)
        raise
    note_written(directory)


def _undo(swap: Swap, what: str) -> None:
    try:
        swap.back()
        swap.end()
    except OSError as error:
        raise UnusableArgumentError(
            f"{shown_path(swap.directory)}: the {what} could not be put in place "
            f"({reason_of(error)}). What was there before is kept in "
            f"{shown_path(swap.replaced)}; the next run that writes there puts it in "
            "order."
        ) from error


@dataclass(frozen=True, slots=True)
class Swap:
    """A change of parts.

    Attributes
    ----------
    work, directory : Path
        Where the new parts are made, and their place.
    sizes : mapping of str to int
        Bytes of each new part, by name.
    had : tuple of str
        Names of new parts that have an old one.
    gone : tuple of str
        Names of old parts that have no new one.
    """

    work: Path
    directory: Path
    sizes: Mapping[str, int]
    had: tuple[str, ...]
    gone: tuple[str, ...]

    @property
    def replaced(self) -> Path:
        """Where the old parts are kept until the change is done."""
        return self.work / REPLACED

    def write_journal(self) -> None:
        """Write down what is to be done, and wait until the disk has it."""
        self.replaced.mkdir()
        parts = {"sizes": dict(self.sizes), "had": self.had, "gone": self.gone}
        sync(self.work)
        sync(self.directory)
        write_beside(self.work / JOURNAL, json.dumps({"swap": _FORMAT, **parts}))

    def forward(self) -> None:
        """Do what is not done yet."""
        for name in (*self.gone, *reversed(list(self.sizes))):
            is_waiting = name in self.gone or os.path.lexists(self.work / name)
            if name in (*self.had, *self.gone) and is_waiting:
                move(self.directory / name, self.replaced / name)
        for name in self.sizes:
            move(self.work / name, self.directory / name, refuse=True)

    def back(self) -> None:
        """Undo what was done."""
        for name in reversed(list(self.sizes)):
            if self._is_new_in_place(name):
                move(self.directory / name, self.work / name)
        for name in (*self.sizes, *self.gone):
            move(self.replaced / name, self.directory / name, refuse=True)

    def end(self) -> None:
        """Wait until the disk has all renames; from then on nothing is to be done."""
        for folder in (self.directory, self.replaced, self.work):
            sync(folder)
        (self.work / JOURNAL).unlink()

    def is_whole(self) -> bool:
        """Whether all new parts are there, in work or in place, none shorter than it was."""
        return all(self._size_of_new(name) >= size for name, size in self.sizes.items())

    def is_forward(self) -> bool:
        """Whether all new parts are in place."""
        return all(self._is_new_in_place(name) for name in self.sizes)

    def _is_new_in_place(self, name: str) -> bool:
        is_old_away = name not in self.had or os.path.lexists(self.replaced / name)
        is_in_work = os.path.lexists(self.work / name)
        return not is_in_work and is_old_away and os.path.lexists(self.directory / name)

    def _size_of_new(self, name: str) -> int:
        if os.path.lexists(self.work / name):
            return _size(self.work / name)
        return _size(self.directory / name) if self._is_new_in_place(name) else -1


def finish(work: Path, directory: Path, known: Collection[str]) -> bool:
    """Finish the change of a process that was killed, or undo it if new parts are lost.

    Parameters
    ----------
    work : Path
        In which that process made the parts.
    directory : Path
        Their place.
    known : collection of str
        Names that parts can have; a journal that names others is not ours.

    Returns
    -------
    bool
        Whether nothing in `work` is needed any more.

    Raises
    ------
    OSError
        Where a part cannot be moved; the journal is kept.
    """
    if not os.path.lexists(work / JOURNAL):
        return True
    swap = _read_journal(work, directory, known)
    if swap is None:
        return False
    with suppress(FileExistsError):
        swap.replaced.mkdir()
    if swap.is_whole():
        swap.forward()
    else:
        swap.back()
    swap.end()
    return True


def _read_journal(work: Path, directory: Path, known: Collection[str]) -> Swap | None:
    """The change that a journal states; None if it is none that this version writes."""
    try:
        journal = json.loads((work / JOURNAL).read_bytes())
        sizes = {str(name): int(size) for name, size in journal["sizes"].items()}
        had, gone = ([str(name) for name in journal[key]] for key in ("had", "gone"))
    except (ValueError, KeyError, TypeError, AttributeError, RecursionError):
        return None
    if journal.get("swap") != _FORMAT or not {*sizes, *had, *gone} <= set(known):
        return None
    return Swap(work, directory, sizes, tuple(had), tuple(gone))


def move(source: Path, place: Path, *, refuse: bool = False) -> None:
    """Rename what is there and not moved yet; `refuse` to put it over something that came."""
    if not os.path.lexists(source):
        return
    if os.path.lexists(place):
        if refuse:
            raise FileExistsError(errno.EEXIST, os.strerror(errno.EEXIST), str(place))
        return
    source.rename(place)


def _size(path: Path) -> int:
    """Bytes of a file, or of all files in a folder."""
    if not path.is_dir() or path.is_symlink():
        return path.lstat().st_size
    return sum(_size(inside) for inside in path.iterdir())


def remove_work(work: Path) -> None:
    """Remove the folder of a change that is done or undone; another is kept, to be finished."""
    if not os.path.lexists(work / JOURNAL):
        shutil.rmtree(work, ignore_errors=True)
