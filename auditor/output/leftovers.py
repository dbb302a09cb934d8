"""Put in order what a killed run left in a folder: finish its change of parts, remove its work."""

from __future__ import annotations

import os
import re
import shutil
import time
from dataclasses import replace
from pathlib import Path

from auditor.output.earlier_swaps import finish_earlier, replaced_in
from auditor.output.folder_lock import LOCK_FILE
from auditor.output.form import WORK_PREFIX, Form
from auditor.output.put_in_place import JOURNAL, REPLACED, finish

# As `tempfile.mkdtemp` makes them.
_WORK_NAME = re.compile(re.escape(WORK_PREFIX) + r"[a-z0-9_]{8}")
# Without locks nothing says whether a run is still at work; none takes so long (our choice).
ABANDONED_AFTER_S = 24 * 3600


def has_leftovers(directory: Path) -> bool:
    """Whether something is in a folder that a run makes and then removes."""
    return directory.is_dir() and (
        os.path.lexists(directory / LOCK_FILE)
        or bool(_works_in(directory) or replaced_in(directory))
    )


def put_in_order(directory: Path, form: Form, *, is_alone: bool) -> None:
    """Finish or undo the changes of killed runs, and remove what they left.

    Whatever could be somebody else's is left as it is.

    Parameters
    ----------
    directory : Path
        In which something of this form is written.
    form : Form
    is_alone : bool
        Whether no other process writes there. If that is not known, only what is old is touched.

    Raises
    ------
    OSError
        Where a part cannot be moved.
    """
    works = [work for work in _works_in(directory) if is_alone or _is_abandoned(work)]
    if is_alone:
        finish_earlier(directory, works, form)
        works = _works_in(directory)
    for work in works:
        if _is_ours(work, form) and finish(work, directory, form.parts):
            shutil.rmtree(work, ignore_errors=True)


def _works_in(directory: Path) -> list[Path]:
    with os.scandir(directory) as entries:
        return sorted(
            Path(entry.path)
            for entry in entries
            if _WORK_NAME.fullmatch(entry.name) and entry.is_dir(follow_symlinks=False)
        )


def _is_ours(work: Path, form: Form) -> bool:
    form_of_work = replace(form, files=form.files | {JOURNAL})
    replaced = work / REPLACED
    others = [entry for entry in work.iterdir() if entry != replaced]
    if not all(form_of_work.is_ours(entry) for entry in others):
        return False
    if not os.path.lexists(replaced):
        return True
    return replaced.is_dir() and not replaced.is_symlink() and form.holds_only_ours(replaced)


def _is_abandoned(work: Path) -> bool:
    """Whether nothing was made or renamed in a folder, or in one inside it, for long."""
    folders = [work, *(entry for entry in work.iterdir() if entry.is_dir())]
    latest_s = max(folder.stat().st_mtime for folder in folders)
    return time.time() - latest_s > ABANDONED_AFTER_S
