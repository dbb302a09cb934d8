"""The files that a draft is made from: pictures and pages as they were given, folders opened."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from pathlib import Path

from auditor.errors import NothingToMeasureError, UnusableArgumentError
from auditor.photograph.folder import PICTURE_EXTENSIONS, find_pictures
from auditor.safe_text import shown_path


@dataclass(frozen=True, slots=True)
class Source:
    """One file.

    Attributes
    ----------
    folder : Path
    file : str
        Relative to the folder, with ``/``.
    """

    folder: Path
    file: str

    @property
    def path(self) -> Path:
        """Where it is."""
        return self.folder / self.file

    @property
    def shown(self) -> str:
        """Its path for messages."""
        return shown_path(self.path)


def find_sources(arguments: Iterable[Path]) -> tuple[Source, ...]:
    """The files of all arguments in their order, each once; of a folder all its pictures.

    Raises
    ------
    UnusableArgumentError
        Some argument is not there; the message names all of them.
    NothingToMeasureError
        There is no picture in any of the folders.
    """
    arguments = tuple(arguments)
    missing = [shown_path(one) for one in arguments if not one.exists()]
    if missing:
        raise UnusableArgumentError(
            "\n".join(f"{one}: there is no such file or folder." for one in missing)
        )
    sources = [source for one in arguments for source in _sources_of(one)]
    if not sources:
        shown = ", ".join(shown_path(one) for one in arguments)
        raise NothingToMeasureError(
            f"{shown}: no picture in it (JPEG, PNG, TIFF, WebP, AVIF or HEIC)."
        )
    each_once: dict[Path, Source] = {}
    for source in sources:
        each_once.setdefault(source.path.resolve(), source)
    return tuple(each_once.values())


def _sources_of(argument: Path) -> list[Source]:
    if argument.is_dir():
        return [Source(argument, file) for file in find_pictures(argument, leave_out=None).files]
    if argument.suffix.lower() not in PICTURE_EXTENSIONS:
        raise UnusableArgumentError(
            f"{shown_path(argument)}: its name is not that of a picture. Name a"
            " photographed or scanned sketch, finished pictures or their folder (JPEG, PNG, TIFF,"
            " WebP, AVIF or HEIC)."
        )
    return [Source(argument.parent, argument.name)]
