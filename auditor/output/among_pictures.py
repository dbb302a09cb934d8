"""Whether a report would come to lie among the pictures that it is about."""

from __future__ import annotations

from pathlib import Path

from auditor.output.previews import PICTURES_FOLDER
from auditor.photograph.folder import find_pictures


def would_mix(folder: Path, directory: Path) -> bool:
    """Whether the report's files would come to lie where the audited pictures are."""
    audited = folder.resolve()
    previews = directory / PICTURES_FOLDER
    return (
        _is_same(directory, audited)
        or any(_is_same(previews, place) for place in (audited, *audited.parents))
        or _holds_pictures_to_audit(audited, directory.resolve(), previews)
    )


def _holds_pictures_to_audit(audited: Path, directory: Path, previews: Path) -> bool:
    """Whether the report's folder lies among the pictures and holds some that are not its own."""
    if not directory.is_dir() or audited not in directory.parents:
        return False
    return bool(find_pictures(directory, leave_out=previews).files)


def _is_same(first: Path, second: Path) -> bool:
    try:
        return first.samefile(second)
    except OSError:
        return False  # one of them is not there
