"""Change pictures in memory and measure them again, in several processes."""

from __future__ import annotations

import logging
from collections.abc import Callable, Mapping, Sequence
from contextlib import closing
from dataclasses import dataclass
from functools import partial
from pathlib import Path
from typing import TypeVar

from auditor.corrections import Change, applied, changed_pixels
from auditor.errors import UnreadablePictureError
from auditor.measurements.measured_photograph import MeasuredPhotograph, measure
from auditor.output.previews import encode_small, write_picture
from auditor.photograph.photograph import Photograph
from auditor.runs.measured_file import LEAST_SIDE_PX, MeasuringTask, read_to_measure
from auditor.runs.measuring import Progress, measured_key, picture_bytes, remembered_picture
from auditor.runs.outcome import Outcome
from auditor.runs.run import Run
from auditor.runs.store import Kept
from auditor.runs.workers import PICTURE_LIMIT_S, Lost
from auditor.safe_text import one_line
from auditor.saliency import default_finder
from auditor.saliency.finder import SubjectFinder

Changes = Mapping[str, Sequence[Change]]
Readings = dict[str, tuple[MeasuredPhotograph | None, ...]]
_Task = TypeVar("_Task", "TrialTask", "MakingTask")
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
class MakingTask:
    """One picture and its changed versions to make, each with its longest side."""

    picture: MeasuringTask
    sha256: str
    versions: tuple[tuple[Change, int], ...]


class Trials:
    """Tries changes on the pictures of a set; originals are only read.

    Parameters
    ----------
    folder : Path
    files : sequence of str
        As they are opened, relative to the folder.
    outcomes : sequence of Outcome
        Of the same pictures, in the same order.
    run : Run
    progress : callable
        Called with the number of pictures done, their total, and the file just finished.
    """

    def __init__(
        self,
        folder: Path,
        files: Sequence[str],
        outcomes: Sequence[Outcome],
        run: Run,
        progress: Progress,
    ) -> None:
        self._run, self._progress = run, progress
        self._pictures: dict[str, tuple[MeasuringTask, str]] = {}
        for file, outcome in zip(files, outcomes, strict=True):
            picture = outcome.picture
            if isinstance(picture, MeasuredPhotograph):
                task = MeasuringTask(
                    folder.absolute(), file, picture.file, has_default_area=outcome.has_default_area
                )
                self._pictures[picture.file] = (task, picture.sha256)

    def __call__(self, changes: Changes) -> Readings:
        """Measure each picture after each of its changes; None where that is impossible."""
        found: dict[tuple[str, Change], MeasuredPhotograph | None] = {
            (file, change): remembered_picture(
                file, Kept.TRIED, self._tried_key(file, change), self._run
            )
            for file, wanted in changes.items()
            for change in wanted
        }
        tasks = []
        for file, wanted in changes.items():
            task, sha256 = self._pictures[file]
            missing = tuple(change for change in wanted if found[file, change] is None)
            if missing:
                tasks.append(TrialTask(task, sha256, missing))

        def take(task: TrialTask, result: tuple[MeasuredPhotograph | None, ...]) -> None:
            file = task.picture.name
            for change, picture in zip(task.changes, result, strict=True):
                found[file, change] = picture
                if picture is not None:
                    key = self._tried_key(file, change)
                    self._run.store.put(Kept.TRIED, key, picture_bytes(picture))

        self._each(partial(try_changes, finder=self._run.finder), tasks, take)
        return {
            file: tuple(found[file, change] for change in wanted)
            for file, wanted in changes.items()
        }

    def write(self, versions: Mapping[str, Sequence[SmallPicture]]) -> None:
        """Write changed versions of the pictures; raises `OSError` where that fails."""
        tasks, places = [], {}
        for file, wanted in versions.items():
            task, sha256 = self._pictures[file]
            missing = []
            for version in wanted:
                key = _made_key(sha256, version.change, version.side_px)
                made = None if self._run.fresh else self._run.store.get(Kept.CORRECTED, key)
                if made is None:
                    missing.append(version)
                else:
                    write_picture(made, version.path)
            if missing:
                sized = tuple((version.change, version.side_px) for version in missing)
                tasks.append(MakingTask(task, sha256, sized))
                places[file] = [version.path for version in missing]

        def take(task: MakingTask, result: tuple[bytes, ...]) -> None:
            for (change, side_px), path, made in zip(
                task.versions, places[task.picture.name], result, strict=False
            ):
                write_picture(made, path)
                key = _made_key(task.sha256, change, side_px)
                self._run.store.put(Kept.CORRECTED, key, made)

        self._each(make_versions, tasks, take)

    def _tried_key(self, file: str, change: Change) -> str:
        task, sha256 = self._pictures[file]
        own = measured_key(sha256, has_default_area=task.has_default_area)
        return f"{own} {change.key}"

    def _each(
        self,
        function: Callable[[_Task], _Result],
        tasks: Sequence[_Task],
        take: Callable[[_Task, _Result], None],
    ) -> None:
        if not tasks:
            return
        self._progress(0, len(tasks), "")
        spread = self._run.workers.spread(function, tasks, PICTURE_LIMIT_S)
        with closing(spread) as results:
            for n_done, (index, result) in enumerate(results, start=1):
                if not isinstance(result, Lost):
                    take(tasks[index], result)
                self._progress(n_done, len(tasks), tasks[index].picture.name)


def _made_key(sha256: str, change: Change, side_px: int) -> str:
    return f"{sha256} {change.key} {side_px}"


def try_changes(
    task: TrialTask, finder: SubjectFinder | None
) -> tuple[MeasuredPhotograph | None, ...]:
    """Measure one picture after each change; None where it cannot be read or measured any more."""
    photograph = _unchanged_since(task.picture, task.sha256)
    if photograph is None:
        return (None,) * len(task.changes)
    return tuple(_tried(photograph, change, finder) for change in task.changes)


def make_versions(task: MakingTask) -> tuple[bytes, ...]:
    """Make changed versions of one picture, as JPEGs; none if it can no longer be read."""
    photograph = _unchanged_since(task.picture, task.sha256)
    if photograph is None:
        return ()
    return tuple(
        encode_small(changed_pixels(photograph.detail, change), side_px)
        for change, side_px in task.versions
    )


def _unchanged_since(task: MeasuringTask, sha256: str) -> Photograph | None:
    try:
        photograph = read_to_measure(task)
    except UnreadablePictureError as error:
        _logger.info("%s: not tried, %s", one_line(task.name), error.code)
        return None
    return photograph if photograph.sha256 == sha256 else None


def _tried(
    photograph: Photograph, change: Change, finder: SubjectFinder | None
) -> MeasuredPhotograph | None:
    try:
        after = applied(photograph, change)
        if min(after.pixels.shape[:2]) < LEAST_SIDE_PX:
            return None
        return measure(after, finder or default_finder())
    except Exception:  # a change that cannot be measured is not offered
        _logger.exception("%s: a change could not be tried", one_line(photograph.file))
        return None
