"""Measure the pictures of a folder; what is remembered of a picture is not made again."""

from __future__ import annotations

import logging
from collections.abc import Callable, Iterator, Sequence
from contextlib import closing
from dataclasses import dataclass, replace
from functools import cache, partial
from pathlib import Path

from pydantic import TypeAdapter, ValidationError

from auditor.measurements.measured_photograph import MeasuredPhotograph
from auditor.output.previews import EncodedPreview, Preview, preview_name, write_preview
from auditor.photograph.default_areas import default_areas
from auditor.photograph.folder import printable_names
from auditor.reasons import RefusalReason
from auditor.runs.known_files import KnownFile, heads_of, look_at_files, remember_file
from auditor.runs.measured_file import MeasuredFile, MeasuringTask, measure_file
from auditor.runs.outcome import Outcome, RefusedPicture
from auditor.runs.run import Run
from auditor.runs.store import Kept
from auditor.runs.workers import PICTURE_LIMIT_S, Lost
from auditor.safe_text import one_line

Progress = Callable[[int, int, str], None]

# Added to the name of what is remembered: in another folder the same file may have an area of its
# own.
_WITHOUT_AREAS = "without the camera's areas"

_logger = logging.getLogger(__name__)


def measure_all(
    folder: Path, files: Sequence[str], previews: Path | None, run: Run, progress: Progress
) -> tuple[Outcome, ...]:
    """Measure pictures and write their previews.

    Parameters
    ----------
    folder : Path
    files : sequence of str
        Relative to the folder.
    previews : Path or None
        Folder for the previews; None writes none.
    run : Run
    progress : callable
        Called with the number of pictures done, their total, and the file just finished.

    Returns
    -------
    tuple of Outcome
        In the order of the files.

    Raises
    ------
    OSError
        A preview cannot be written.
    """
    measuring = _Measuring(folder, files, previews, run)
    outcomes: dict[int, Outcome] = {}
    progress(0, len(files), "")
    for index, outcome in measuring.outcomes():
        outcomes[index] = outcome
        progress(len(outcomes), len(files), measuring.names[index])
    return tuple(outcomes[index] for index in range(len(files)))


@dataclass(frozen=True, slots=True)
class _Remembered:
    """What is remembered of one picture; None for each part that is not."""

    picture: MeasuredPhotograph | None
    preview: EncodedPreview | None


class _Measuring:
    """The pictures of a folder, from what is known of them to their outcomes."""

    def __init__(self, folder: Path, files: Sequence[str], previews: Path | None, run: Run) -> None:
        self._folder, self._files, self._previews, self._run = folder, files, previews, run
        self.names = printable_names(files)
        known = look_at_files(folder, files, run.store, fresh=run.fresh)
        self._known: list[KnownFile] = [known[file] for file in files]
        self._default = default_areas(heads_of(known))

    def outcomes(self) -> Iterator[tuple[int, Outcome]]:
        """The outcome of each picture by its index: what is remembered first, then the rest."""
        tasks: list[tuple[int, MeasuringTask]] = []
        for index in range(len(self._files)):
            remembered = self._remembered(index)
            is_shown = remembered.preview is not None or self._previews is None
            if remembered.picture is not None and is_shown:
                yield index, self._outcome(index, remembered.picture, remembered.preview)
            else:
                tasks.append((index, self._task(index, remembered.picture)))
        if not tasks:
            return
        function = partial(measure_file, finder=self._run.finder)
        spread = self._run.workers.spread(function, [task for _, task in tasks], PICTURE_LIMIT_S)
        # Closed here, not when it is collected: after an interrupt nothing may still be at work.
        with closing(spread) as results:
            for place, result in results:
                index = tasks[place][0]
                yield index, self._of_result(index, result)

    def _remembered(self, index: int) -> _Remembered:
        sha256 = self._known[index].sha256
        if sha256 is None or self._run.fresh:
            return _Remembered(None, None)
        key = measured_key(sha256, has_default_area=self._files[index] in self._default)
        picture = remembered_picture(self.names[index], Kept.MEASURED, key, self._run)
        if picture is None or self._previews is None:
            return _Remembered(picture, None)
        preview = self._run.store.get(Kept.PREVIEW, sha256)
        small = self._run.store.get(Kept.SMALL_PREVIEW, sha256)
        if preview is None or small is None:
            return _Remembered(picture, None)
        return _Remembered(picture, EncodedPreview(preview, small))

    def _task(self, index: int, picture: MeasuredPhotograph | None) -> MeasuringTask:
        return MeasuringTask(
            self._folder.absolute(),  # a worker of another machine has a working folder of its own
            self._files[index],
            self.names[index],
            has_default_area=self._files[index] in self._default,
            with_preview=self._previews is not None,
            measured=picture,
        )

    def _of_result(self, index: int, result: MeasuredFile | Lost) -> Outcome:
        """The outcome of a picture that a worker has read; what it made is remembered."""
        if isinstance(result, Lost):
            return self._outcome(index, lost_picture(self.names[index], result), None)
        if isinstance(result.picture, MeasuredPhotograph):
            self._keep(index, result.picture, result.preview)
        return self._outcome(index, result.picture, result.preview)

    def _keep(
        self, index: int, picture: MeasuredPhotograph, preview: EncodedPreview | None
    ) -> None:
        store, file, sha256 = self._run.store, self._files[index], picture.sha256
        if not store.is_open:
            return
        key = measured_key(sha256, has_default_area=file in self._default)
        store.put(Kept.MEASURED, key, picture_bytes(picture))
        if preview is not None:
            store.put(Kept.PREVIEW, sha256, preview.data)
            store.put(Kept.SMALL_PREVIEW, sha256, preview.small_data)
        remember_file(self._folder / file, self._known[index], sha256, store)

    def _outcome(
        self,
        index: int,
        picture: MeasuredPhotograph | RefusedPicture,
        encoded: EncodedPreview | None,
    ) -> Outcome:
        preview: Preview | None = None
        if encoded is not None and self._previews is not None:
            path = self._previews / preview_name(index + 1, self.names[index])
            preview = write_preview(encoded, path)
        return Outcome(picture, preview, self._files[index] in self._default)


def measured_key(sha256: str, *, has_default_area: bool) -> str:
    """The name under which the measurements of a picture with these bytes are remembered."""
    return f"{sha256} {_WITHOUT_AREAS}" if has_default_area else sha256


def picture_bytes(picture: MeasuredPhotograph) -> bytes:
    """The measurements as they are remembered."""
    return _stored().dump_json(picture)


def remembered_picture(name: str, kind: Kept, key: str, run: Run) -> MeasuredPhotograph | None:
    """What is remembered under a key, for the picture of this name; None if nothing is."""
    data = None if run.fresh else run.store.get(kind, key)
    if data is None:
        return None
    try:
        remembered = replace(_stored().validate_json(data), file=name)
    except ValidationError:
        _logger.warning("%s: what was remembered of it cannot be read", one_line(name))
        return None
    _logger.info("%s: remembered", one_line(name))
    return remembered


@cache
def _stored() -> TypeAdapter[MeasuredPhotograph]:
    return TypeAdapter(MeasuredPhotograph)


def lost_picture(name: str, why: Lost) -> RefusedPicture:
    """The refusal of a picture that its worker did not survive."""
    _logger.error("%s: lost with its worker, %s", one_line(name), why.value)
    if why is Lost.TOO_SLOW:
        return RefusedPicture(
            name,
            RefusalReason.TOO_SLOW,
            f"Reading and measuring it took longer than {PICTURE_LIMIT_S:.0f} seconds and was"
            " ended. The disk or the network may be slow; otherwise export the picture smaller or"
            " in another format (JPEG).",
        )
    return RefusedPicture(
        name,
        RefusalReason.PROCESS_KILLED,
        "The process that measured it was killed twice, the second time with no other"
        " picture at work. Most often the memory is full, or the file makes a decoder crash: close"
        " other programs, or export the picture smaller or in another format (JPEG).",
    )
