"""Pictures that are named one by one, in place of a folder."""

from __future__ import annotations

import os
from collections.abc import Sequence
from pathlib import Path

from auditor.errors import UnusableArgumentError
from auditor.photograph.folder import natural_key
from auditor.safe_text import shown_path


def folder_or_pictures(paths: Sequence[Path]) -> tuple[Path, tuple[str, ...] | None]:
    """The folder to audit, and the pictures in it if single ones were named.

    Parameters
    ----------
    paths : sequence of Path
        One folder, or one or several pictures.

    Returns
    -------
    tuple of Path and tuple of str or None
        The folder, and the named pictures as paths relative to it, with ``/`` and in natural order,
        each once; None for all pictures of the folder. Of named pictures the folder is the one that
        holds them all.

    Raises
    ------
    UnusableArgumentError
        A picture is not there, or a folder is named beside something else. All faults are told.
    """
    if not paths:
        raise UnusableArgumentError("Name a folder of pictures, or pictures.")
    if len(paths) == 1 and (paths[0].is_dir() or not paths[0].exists()):
        return paths[0], None
    faults = [fault for path in paths if (fault := _fault(path))]
    if faults:
        raise UnusableArgumentError("\n".join(faults))
    folder = _common_folder(paths)
    files = {_relative(path, folder) for path in paths}
    return folder, tuple(sorted(files, key=natural_key))


def _fault(path: Path) -> str:
    shown = shown_path(path)
    if path.is_dir():
        return f"{shown}: is a folder. Name one folder alone, or only pictures."
    if path.is_file():
        return ""
    if path.exists():
        return f"{shown}: is a pipe, a socket or a device. Name a picture or a folder."
    return f"{shown}: there is no such picture."


def _common_folder(paths: Sequence[Path]) -> Path:
    folders = {path.parent for path in paths}
    if len(folders) == 1:
        return folders.pop()
    return Path(os.path.commonpath([folder.resolve() for folder in folders]))


def _relative(path: Path, folder: Path) -> str:
    """A picture as seen from its folder; a picture that is a link keeps its own name."""
    return (path.parent.resolve().relative_to(folder.resolve()) / path.name).as_posix()
