"""Find the pictures to measure in a folder, and put them in order."""

from __future__ import annotations

import os
import re
import unicodedata
from collections.abc import Iterator, Sequence, Set
from dataclasses import dataclass, field
from itertools import chain, count
from pathlib import Path, PurePath, PurePosixPath

from auditor.errors import NothingToMeasureError, UnusableArgumentError
from auditor.regular_file import open_regular
from auditor.safe_text import shown_path

# Formats in which finished pictures are delivered, with the rarer names of each: .jpe, .jfif and
# .mpo are JPEGs, .hif is what some cameras call HEIC. Other files are only counted.
PICTURE_EXTENSIONS = frozenset(
    (
        *(".jpg", ".jpeg", ".jpe", ".jfif", ".jif", ".mpo"),
        *(".heic", ".heif", ".hif"),
        *(".png", ".tif", ".tiff", ".webp", ".avif"),
    )
)

# Both names are near the beginning of a record that this program wrote.
_RECORD_HEAD_BYTES = 4096
_RECORD_KEYS = (b'"schema_version"', b'"auditor_version"')

# What `auditor plan draft` writes beside a plan, to show how it understood drawn pages.
_UNDERSTOOD = re.compile(r"(?P<plan>.+)-understood(?:-[0-9]+)?\.png")

_NUMBERS = re.compile(r"([0-9]+)")
# Lone surrogates that do not stand for a byte (PEP 383); a name on Windows may contain them.
_NO_BYTES = re.compile("[\ud800-\udc7f\udd00-\udfff]")
_REPLACEMENT = "\ufffd"

_Identity = tuple[int, int]


@dataclass(frozen=True, slots=True)
class FoundPictures:
    """The pictures in a folder and its sub-folders, in natural order.

    Paths are relative to the folder, with ``/``. A name that is not valid in the file system's
    encoding keeps its bytes as lone surrogates (PEP 383), so that the file can be opened;
    `printable_names` gives names that can be written.

    Attributes
    ----------
    files : tuple of str
        The pictures.
    unreadable_folders : tuple of str
        Sub-folders that could not be read, and links that lead back to themselves; their pictures
        are unknown.
    n_other_files : int
        Files that are no pictures by name; hidden ones are not counted.
    links_upwards : tuple of str
        Links to a folder above `folder`, which are not followed.
    """

    files: tuple[str, ...]
    unreadable_folders: tuple[str, ...]
    n_other_files: int = 0
    links_upwards: tuple[str, ...] = ()


def find_pictures(folder: Path, *, leave_out: Path | None) -> FoundPictures:
    """Find all pictures in a folder and its sub-folders.

    Hidden files and folders, `leave_out`, the folders of earlier reports and the pictures that were
    written beside a drafted plan are skipped, and sub-folders that cannot be read are reported.
    Links to folders are followed, but each real folder is read only once, and a folder that
    contains `folder` itself is never read. What has a picture's name and is no file (a link to a
    missing file or to itself, a pipe, a device) is listed: it is refused with a reason later.

    Parameters
    ----------
    folder : Path
        Where to look.
    leave_out : Path or None
        The folder of the report, if it is inside: its pictures are not the photographer's.

    Returns
    -------
    FoundPictures

    Raises
    ------
    UnusableArgumentError
        If `folder` is missing, is not a folder or cannot be read.
    """
    try:
        walk = _Walk(folder, leave_out)
        found = list(walk.files())
    except OSError as error:
        raise UnusableArgumentError(
            f"{shown_path(folder)}: the folder cannot be read ({error.strerror}); "
            "check its name and its permissions."
        ) from error
    return FoundPictures(
        tuple(sorted(found, key=natural_key)),
        tuple(sorted(walk.unreadable, key=natural_key)),
        walk.n_other_files,
        tuple(sorted(walk.upwards, key=natural_key)),
    )


def pictures_in(folder: Path, leave_out: Path | None = None) -> FoundPictures:
    """`find_pictures` in a folder that a command was given, which must hold some.

    Raises
    ------
    UnusableArgumentError
        The folder is missing or cannot be read.
    NothingToMeasureError
        There is no picture in it.
    """
    shown = shown_path(folder)
    if not folder.is_dir():
        raise UnusableArgumentError(f"{shown}: there is no such folder.")
    found = find_pictures(folder, leave_out=leave_out)
    if not found.files:
        closed = [f"{shown_path(name)}: could not be read" for name in found.unreadable_folders]
        raise NothingToMeasureError(
            "\n  ".join(
                [f"{shown}: no picture in it (JPEG, PNG, TIFF, WebP, AVIF or HEIC).", *closed]
            )
        )
    return found


def natural_key(file: str) -> tuple[tuple[tuple[int, int, str], ...], ...]:
    """Sort key that puts ``2.jpg`` before ``10.jpg``, folder by folder, and ignores case.

    Names that differ only in case are ordered by their characters, so the order is total.
    """
    parts = file.split("/")
    return (*(_natural_part(part) for part in parts), ((2, 0, file),))


def printable_name(file: str) -> str:
    """The name as it can be written in UTF-8: each byte that is not text becomes U+FFFD."""
    text = _NO_BYTES.sub(_REPLACEMENT, file)
    return text.encode("utf-8", "surrogateescape").decode("utf-8", "replace")


def printable_names(files: Sequence[str]) -> tuple[str, ...]:
    """A printable name for each of several files; no two names are the same.

    A name that is text stays as it is; a name that would print like another gets a number before
    its extension.
    """
    names = {file: file for file in files if printable_name(file) == file}
    taken = set(names)
    for file in files:
        if file not in names:
            names[file] = _free_name(printable_name(file), taken)
            taken.add(names[file])
    return tuple(names[file] for file in files)


def _free_name(name: str, taken: set[str]) -> str:
    path = PurePosixPath(name)
    numbered = (str(path.with_name(f"{path.stem} ({n}){path.suffix}")) for n in count(2))
    return next(free for free in chain((name,), numbered) if free not in taken)


def _natural_part(part: str) -> tuple[tuple[int, int, str], ...]:
    text = unicodedata.normalize("NFC", part).casefold()
    pieces = (piece for piece in _NUMBERS.split(text) if piece)
    return tuple((0, int(p), "") if p.isascii() and p.isdigit() else (1, 0, p) for p in pieces)


@dataclass
class _Walk:
    """One pass over a folder: real folders first, then the targets of links."""

    root: Path
    leave_out: Path | None
    above: set[_Identity] = field(default_factory=set)
    entered: set[_Identity] = field(default_factory=set)
    folders: list[str] = field(default_factory=list)
    links: list[str] = field(default_factory=list)
    unreadable: list[str] = field(default_factory=list)
    upwards: list[str] = field(default_factory=list)
    n_other_files: int = 0

    def files(self) -> Iterator[str]:
        """Relative paths of the pictures, unordered; raises OSError only for the root."""
        self.above = _identities_of_ancestors(self.root)
        own = _identity(self.root)
        self.entered = set() if own is None else {own}
        if self.leave_out is not None:
            identity = _identity(self.leave_out)
            # If the report is written into the folder itself, its pictures are still to be found.
            if identity is not None and identity != own:
                self.entered.add(identity)
        yield from self._enter("", sorted(os.scandir(self.root), key=lambda entry: entry.name))
        while self.folders or self.links:
            if not self.folders:
                self.links.sort(key=natural_key, reverse=True)
                self.folders.append(self.links.pop())
            yield from self._folder(self.folders.pop())

    def _folder(self, relative: str) -> Iterator[str]:
        path = self.root / relative
        identity = _identity(path)
        if identity is None:
            self.unreadable.append(relative)
            return
        if identity in self.above:
            self.upwards.append(relative)
            return
        if identity in self.entered:
            return
        self.entered.add(identity)
        try:
            entries = sorted(os.scandir(path), key=lambda entry: entry.name)
        except OSError:
            self.unreadable.append(relative)
            return
        if not _is_earlier_report(path, {entry.name for entry in entries}):
            yield from self._enter(relative + "/", entries)

    def _enter(self, prefix: str, entries: list[os.DirEntry[str]]) -> Iterator[str]:
        names = {entry.name for entry in entries}
        for entry in entries:
            if entry.name.startswith(".") or _is_beside_plan(entry.name, names):
                continue
            relative = prefix + entry.name
            try:
                is_folder, is_link = entry.is_dir(), entry.is_symlink()
            except OSError:  # a link to itself, or into a folder that cannot be read
                if _named_as_picture(entry):
                    yield relative
                else:
                    self.unreadable.append(relative)
                continue
            if is_folder and is_link:
                self.links.append(relative)
            elif is_folder:
                self.folders.append(relative)
            elif _named_as_picture(entry):
                yield relative
            else:
                self.n_other_files += 1


def _named_as_picture(entry: os.DirEntry[str]) -> bool:
    return PurePath(entry.name).suffix.lower() in PICTURE_EXTENSIONS


def _identity(path: Path) -> _Identity | None:
    try:
        status = path.stat()
    except OSError:
        return None
    return (status.st_dev, status.st_ino)


def _identities_of_ancestors(folder: Path) -> set[_Identity]:
    """All folders above a folder; a link back to one of them would never end."""
    identities = (_identity(path) for path in folder.resolve().parents)
    return {identity for identity in identities if identity is not None}


def _is_beside_plan(name: str, names: Set[str]) -> bool:
    found = _UNDERSTOOD.fullmatch(name)
    return found is not None and f"{found['plan']}.toml" in names


def _is_earlier_report(path: Path, names: set[str]) -> bool:
    if not {"audit.json", "index.html"} <= names:
        return False
    try:
        with open_regular(path / "audit.json") as record:
            head = record.read(_RECORD_HEAD_BYTES)
    except OSError:
        return False
    return all(key in head for key in _RECORD_KEYS)
