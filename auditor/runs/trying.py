"""Change pictures in memory and measure them again, in several processes."""

from __future__ import annotations

import logging
from collections.abc import Callable, Mapping, Sequence
from contextlib import closing
from dataclasses import dataclass, replace
from functools import partial
from pathlib import Path
from typing import TypeVar

from auditor.corrections import Change, applied, changed_pixels
from auditor.errors import UnreadablePictureError
from auditor.measurements.measured_photograph import MeasuredPhotograph
from auditor.output.previews import write_small
from auditor.photograph.default_areas import files_with_default_area
from auditor.photograph.folder import printable_names
from auditor.photograph.photograph import Photograph
from auditor.runs.code_version import code_version, correcting_version
from auditor.runs.executor import Killed, spread
from auditor.runs.measuring import (
    LEAST_SIDE_PX,
    MeasuringSettings,
    MeasuringTask,
    Progress,
    read_to_measure,
    remembered_or_measured,
    remembered_picture,
    store_key,
)
from auditor.runs.store import Store
from auditor.safe_text import one_line
from auditor.saliency.finder import SubjectFinder

Changes = Mapping[str, Sequence[Change]]
Readings = dict[str, tuple[MeasuredPhotograph | None, ...]]
_Task = TypeVar("_Task", "TrialTask", "WritingTask")
_Result = TypeVar("_Result")

_logger = logging.getLogger(__name__)


@dataclass(frozen=True, slots=True)
class TrialTask:
    """One picture and the changes to try on it.

    Attributes
    ----------
    picture : MeasuringTask
    sha256 : str
        Of the file that was measured; a file that is another one by now is not tried.
    changes : tuple of Change
    """

    picture: MeasuringTask
    sha256: str
    changes: tuple[Change, ...]


@dataclass(frozen=True, slots=True)
class SmallPicture:
    """A changed picture to write: a JPEG in sRGB without metadata.

    Attributes
    ----------
    change : Change
    path : Path
    side_px : int
        Its longest side at most.
    """

    change: Change
    path: Path
    side_px: int


@dataclass(frozen=True, slots=True)
class WritingTask:
    """One picture and its changed versions to write."""

    picture: MeasuringTask
    sha256: str
    versions: tuple[SmallPicture, ...]


class Trials:
    """Tries changes on the pictures of a set; originals are only read.

    Parameters
    ----------
    folder : Path
    files : sequence of str
        As they are opened, relative to the folder.
    measured : sequence of MeasuredPhotograph
    jobs : int
        Number of processes.
    store : Path or None
        Where measurements are remembered, those of changed pictures too.
    fresh : bool
        True to measure what is remembered, too.
    finder : SubjectFinder or None
        In place of the usual finder; nothing is then remembered.
    progress : callable
        Called with the number of pictures done, their total, and the file just finished.
    """

    def __init__(
        self,
        folder: Path,
        files: Sequence[str],
        measured: Sequence[MeasuredPhotograph],
        *,
        jobs: int,
        store: Path | None,
        fresh: bool,
        finder: SubjectFinder | None,
        progress: Progress,
    ) -> None:
        self._folder, self._files, self._jobs, self._progress = folder, files, jobs, progress
        kept = store if finder is None else None
        self._settings = MeasuringSettings(kept, fresh, finder, code_version())
        self._sha256 = {picture.file: picture.sha256 for picture in measured}
        self._tasks: dict[str, MeasuringTask] = {}

    def __call__(self, changes: Changes) -> Readings:
        """Measure each picture after each of its changes; None where that is impossible."""
        tasks = [
            TrialTask(self._task(file), self._sha256[file], tuple(wanted))
            for file, wanted in changes.items()
        ]
        found: Readings = {task.picture.name: (None,) * len(task.changes) for task in tasks}
        function = partial(try_changes, settings=self._settings)
        self._each(function, tasks, lambda task, result: found.update({task.picture.name: result}))
        return found

    def write(self, versions: Mapping[str, Sequence[SmallPicture]]) -> None:
        """Write changed versions of the pictures; raises `OSError` where that fails."""
        tasks = [
            WritingTask(self._task(file), self._sha256[file], tuple(wanted))
            for file, wanted in versions.items()
            if wanted
        ]
        self._each(write_versions, tasks, lambda _task, _result: None)

    def _each(
        self,
        function: Callable[[_Task], _Result],
        tasks: Sequence[_Task],
        take: Callable[[_Task, _Result], None],
    ) -> None:
        if not tasks:
            return
        self._progress(0, len(tasks), "")
        with closing(spread(function, tasks, self._jobs)) as results:
            for n_done, (index, result) in enumerate(results, start=1):
                if not isinstance(result, Killed):
                    take(tasks[index], result)
                self._progress(n_done, len(tasks), tasks[index].picture.name)

    def _task(self, file: str) -> MeasuringTask:
        if not self._tasks:  # the metadata of all are looked at only if anything is tried
            names = printable_names(self._files)
            with_area = files_with_default_area(self._folder, self._files)
            self._tasks = {
                name: MeasuringTask(self._folder, one, name, None, one in with_area)
                for one, name in zip(self._files, names, strict=True)
            }
        return self._tasks[file]


def try_changes(
    task: TrialTask, settings: MeasuringSettings
) -> tuple[MeasuredPhotograph | None, ...]:
    """Measure one picture after each change; None where it cannot be read or measured any more."""
    keys = [
        f"{store_key(task.picture, task.sha256)} {correcting_version()} {change.key}"
        for change in task.changes
    ]
    with Store(settings.store, settings.code_version) as store:
        found = [
            None if settings.fresh else remembered_picture(task.picture.name, key, store)
            for key in keys
        ]
        if all(found):
            return tuple(found)
        photograph = _unchanged_since(task.picture, task.sha256)
        if photograph is None:
            return (None,) * len(keys)
        return tuple(
            known or _tried(photograph, change, key, store, settings)
            for known, change, key in zip(found, task.changes, keys, strict=True)
        )


def write_versions(task: WritingTask) -> bool:
    """Write changed versions of one picture; False if it can no longer be read."""
    photograph = _unchanged_since(task.picture, task.sha256)
    if photograph is None:
        return False
    for version in task.versions:
        pixels = changed_pixels(photograph.detail, version.change)
        write_small(pixels, version.path, version.side_px)
    return True


def _unchanged_since(task: MeasuringTask, sha256: str) -> Photograph | None:
    try:
        photograph = read_to_measure(task)
    except UnreadablePictureError as error:
        _logger.info("%s: not tried, %s", one_line(task.name), error.code)
        return None
    return photograph if photograph.sha256 == sha256 else None


def _tried(
    photograph: Photograph, change: Change, key: str, store: Store, settings: MeasuringSettings
) -> MeasuredPhotograph | None:
    try:
        after = applied(photograph, change)
        if min(after.pixels.shape[:2]) < LEAST_SIDE_PX:
            return None
        # What was remembered was asked for already.
        return remembered_or_measured(after, key, store, replace(settings, fresh=True))
    except Exception:  # a change that cannot be measured is not offered
        _logger.exception("%s: a change could not be tried", one_line(photograph.file))
        return None
