"""Whether a report would come to lie among the pictures that it is about."""

from __future__ import annotations

from pathlib import Path, PurePosixPath

from auditor.output.previews import PICTURES_FOLDER, PROOFS_FOLDER, is_preview_name
from auditor.output.report_folder import is_report
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
    files = find_pictures(directory, leave_out=previews).files
    return any(not (_is_proof(file) and is_report(directory)) for file in files)


def _is_proof(file: str) -> bool:
    """Whether a file of a report's folder is named as our proofs are."""
    path = PurePosixPath(file)
    return path.parent == PurePosixPath(PROOFS_FOLDER) and is_preview_name(path.name)


def _is_same(first: Path, second: Path) -> bool:
    try:
        return first.samefile(second)
    except OSError:
        return False  # one of them is not there
