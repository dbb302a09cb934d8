"""Which files under a folder are the pictures to measure, and in what order."""

from __future__ import annotations

import os
import re
import unicodedata
from collections.abc import Iterator
from dataclasses import dataclass, field
from pathlib import Path

from auditor.errors import UnusableArgumentError

# What finished pictures are delivered as; anything else is passed over without a word.
PICTURE_EXTENSIONS = frozenset(
    (".jpg", ".jpeg", ".jpe", ".png", ".tif", ".tiff", ".webp", ".avif", ".heic", ".heif")
)

# Both names stand near the beginning of a record that this program wrote.
_RECORD_HEAD_BYTES = 4096
_RECORD_KEYS = (b'"schema_version"', b'"auditor_version"')

_NUMBERS = re.compile(r"([0-9]+)")

_Identity = tuple[int, int]


def find_pictures(folder: Path, *, leave_out: Path | None) -> tuple[str, ...]:
    """Every picture under a folder, in natural order.

    Hidden files and folders, `leave_out` and the folders of earlier reports are passed over, and
    so are sub-folders that may not be read. Links to folders are followed, but each real folder
    is entered once and never a folder that holds `folder` itself. A picture's link that leads
    nowhere is listed, so that reading it can say what is wrong.

    Parameters
    ----------
    folder : Path
        Where to look.
    leave_out : Path or None
        A folder inside it whose pictures are not the photographer's: that of the report.

    Returns
    -------
    tuple of str
        Paths relative to `folder`, with ``/``. A name that is not valid in the file system's
        encoding keeps its bytes as lone surrogates (PEP 383), so that the file can be opened;
        `printable_name` makes it fit to be written.

    Raises
    ------
    UnusableArgumentError
        If `folder` is missing, is no folder or may not be read.
    """
    try:
        found = list(_Walk(folder, leave_out).files())
    except OSError as error:
        raise UnusableArgumentError(
            f"{printable_name(str(folder))}: the folder cannot be read ({error.strerror}); "
            "check its name and its permissions."
        ) from error
    return tuple(sorted(found, key=natural_key))


def natural_key(file: str) -> tuple[tuple[tuple[int, int, str], ...], ...]:
    """Sort key by which ``2.jpg`` comes before ``10.jpg``, folder by folder, whatever the case.

    Names that differ in case only are told apart by their characters, so the order is total.
    """
    parts = file.split("/")
    return (*(_natural_part(part) for part in parts), ((2, 0, file),))


def printable_name(file: str) -> str:
    """The name as it can be written in UTF-8: each byte that is no text becomes U+FFFD."""
    return file.encode("utf-8", "surrogateescape").decode("utf-8", "replace")


def _natural_part(part: str) -> tuple[tuple[int, int, str], ...]:
    text = unicodedata.normalize("NFC", part).casefold()
    pieces = (piece for piece in _NUMBERS.split(text) if piece)
    return tuple((0, int(p), "") if p.isascii() and p.isdigit() else (1, 0, p) for p in pieces)


@dataclass
class _Walk:
    """One pass over a folder: real folders first, then what links lead to."""

    root: Path
    leave_out: Path | None
    entered: set[_Identity] = field(default_factory=set)
    links: list[str] = field(default_factory=list)

    def files(self) -> Iterator[str]:
        """Relative paths of the pictures, in no order; raises OSError for the root only."""
        self.entered = _identities_of_ancestors(self.root)
        if self.leave_out is not None:
            identity = _identity(self.leave_out)
            # A report written into the folder itself must not hide the pictures in it.
            if identity is not None and identity != _identity(self.root):
                self.entered.add(identity)
        yield from self._enter("", sorted(os.scandir(self.root), key=lambda entry: entry.name))
        while self.links:
            self.links.sort(key=natural_key, reverse=True)
            yield from self._folder(self.links.pop())

    def _folder(self, relative: str) -> Iterator[str]:
        path = self.root / relative
        identity = _identity(path)
        if identity is None or identity in self.entered:
            return
        self.entered.add(identity)
        try:
            entries = sorted(os.scandir(path), key=lambda entry: entry.name)
        except OSError:
            return
        if not _is_earlier_report(path, {entry.name for entry in entries}):
            yield from self._enter(relative + "/", entries)

    def _enter(self, prefix: str, entries: list[os.DirEntry[str]]) -> Iterator[str]:
        for entry in entries:
            if entry.name.startswith("."):
                continue
            relative = prefix + entry.name
            try:
                is_folder, is_link = entry.is_dir(), entry.is_symlink()
                is_picture = not is_folder and _is_picture(entry)
            except OSError:
                continue
            if is_folder and is_link:
                self.links.append(relative)
            elif is_folder:
                yield from self._folder(relative)
            elif is_picture:
                yield relative


def _is_picture(entry: os.DirEntry[str]) -> bool:
    if os.path.splitext(entry.name)[1].lower() not in PICTURE_EXTENSIONS:  # noqa: PTH122  many names
        return False
    return entry.is_file() or (entry.is_symlink() and not Path(entry.path).exists())


def _identity(path: Path) -> _Identity | None:
    try:
        status = path.stat()
    except OSError:
        return None
    return (status.st_dev, status.st_ino)


def _identities_of_ancestors(folder: Path) -> set[_Identity]:
    """The folder and all that hold it: a link back to one of them would lead out and round."""
    real = folder.resolve()
    identities = (_identity(path) for path in (real, *real.parents))
    return {identity for identity in identities if identity is not None}


def _is_earlier_report(path: Path, names: set[str]) -> bool:
    if not {"audit.json", "index.html"} <= names:
        return False
    try:
        with (path / "audit.json").open("rb") as record:
            head = record.read(_RECORD_HEAD_BYTES)
    except OSError:
        return False
    return all(key in head for key in _RECORD_KEYS)
