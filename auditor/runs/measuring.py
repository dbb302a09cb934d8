"""Measure pictures in several processes; a picture that is remembered is not measured again."""

from __future__ import annotations

import logging
from collections.abc import Callable, Sequence
from contextlib import closing
from dataclasses import dataclass, replace
from functools import partial
from pathlib import Path

from pydantic import TypeAdapter, ValidationError

from auditor.errors import UnreadablePictureError
from auditor.measurements.measured_photograph import MeasuredPhotograph, measure
from auditor.output.previews import make_preview, preview_name
from auditor.photograph.decode import read_photograph
from auditor.photograph.default_areas import files_with_default_area
from auditor.photograph.folder import printable_name, printable_names
from auditor.photograph.photograph import Photograph
from auditor.reasons import RefusalReason
from auditor.runs.code_version import code_version
from auditor.runs.executor import Killed, spread
from auditor.runs.outcome import Outcome, RefusedPicture
from auditor.runs.store import Store
from auditor.safe_text import one_line
from auditor.saliency import default_finder
from auditor.saliency.finder import SubjectFinder

Progress = Callable[[int, int, str], None]

# A strip that is narrower than this at working size has nothing that could be measured.
LEAST_SIDE_PX = 48

# Added to the key of what is remembered: in another folder the same file may have an area of its
# own.
_WITHOUT_AREAS = "without the camera's areas"

_logger = logging.getLogger(__name__)
_stored = TypeAdapter(MeasuredPhotograph)


@dataclass(frozen=True, slots=True)
class MeasuringTask:
    """One picture to measure.

    Attributes
    ----------
    folder : Path
    file : str
        Path relative to the folder, with ``/``, as it is opened.
    name : str
        The same path as it is written everywhere: valid text.
    preview : Path or None
        Where to write its preview; None writes none.
    has_default_area : bool
        True if its camera writes the same area into every picture; the area is then not used.
    """

    folder: Path
    file: str
    name: str
    preview: Path | None
    has_default_area: bool = False


@dataclass(frozen=True, slots=True)
class MeasuringSettings:
    """How all pictures of an audit are measured.

    Attributes
    ----------
    store : Path or None
        Where measurements are remembered; None remembers nothing.
    fresh : bool
        True to measure every picture and replace what is remembered of it.
    finder : SubjectFinder or None
        None for the finder that an audit uses. Measurements with any other finder are neither
        taken from the store nor kept in it.
    code_version : str
        What is remembered under another version is not used.
    """

    store: Path | None
    fresh: bool
    finder: SubjectFinder | None
    code_version: str


def measure_all(
    folder: Path,
    files: Sequence[str],
    previews: Path | None,
    *,
    jobs: int,
    store: Path | None,
    progress: Progress,
    fresh: bool = False,
    finder: SubjectFinder | None = None,
) -> tuple[Outcome, ...]:
    """Measure pictures and write their previews.

    Parameters
    ----------
    folder : Path
    files : sequence of str
        Relative to the folder.
    previews : Path or None
        Folder for the previews; None writes none.
    jobs : int
        Number of processes.
    store : Path or None
        Where measurements are remembered; None remembers nothing.
    progress : callable
        Called with the number of pictures done, their total, and the file just finished.
    fresh : bool
        True to measure every picture and replace what is remembered of it.
    finder : SubjectFinder or None
        Finds the subjects in place of the usual finder; picklable. Nothing is then read from the
        store or written to it.

    Returns
    -------
    tuple of Outcome
        In the order of the files.
    """
    settings = MeasuringSettings(store if finder is None else None, fresh, finder, code_version())
    names = printable_names(files)
    with_default_area = files_with_default_area(folder, files)
    tasks = [
        MeasuringTask(
            folder,
            file,
            name,
            None if previews is None else previews / preview_name(number, name),
            file in with_default_area,
        )
        for number, (file, name) in enumerate(zip(files, names, strict=True), start=1)
    ]
    outcomes: dict[int, Outcome] = {}
    progress(0, len(tasks), "")
    # Closed here, not when it is collected: after an interrupt no process may still be writing.
    with closing(spread(partial(measure_file, settings=settings), tasks, jobs)) as results:
        for index, result in results:
            outcomes[index] = (
                Outcome(_killed(names[index]), None) if isinstance(result, Killed) else result
            )
            progress(len(outcomes), len(tasks), names[index])
    with Store(settings.store, settings.code_version) as remembered:
        remembered.remove_other_versions()
    return tuple(outcomes[index] for index in range(len(tasks)))


def measure_file(task: MeasuringTask, settings: MeasuringSettings) -> Outcome:
    """Read and measure one picture and write its preview, or refuse the picture.

    Raises
    ------
    OSError
        The preview cannot be written.
    """
    try:
        photograph = read_to_measure(task)
        key = store_key(task, photograph.sha256)
        with Store(settings.store, settings.code_version) as store:
            measured = remembered_or_measured(photograph, key, store, settings)
    except UnreadablePictureError as error:
        _logger.info("%s: refused, %s", one_line(task.name), error.code, exc_info=True)
        return Outcome(RefusedPicture(task.name, error.code, error.message), None)
    except Exception as error:  # the other pictures are measured all the same
        _logger.exception("%s: measuring failed", one_line(task.name))
        return Outcome(_failed(task.name, error), None)
    preview = None if task.preview is None else make_preview(photograph.pixels, task.preview)
    return Outcome(measured, preview)


def measure_picture(path: Path, finder: SubjectFinder | None = None) -> MeasuredPhotograph:
    """Measure one picture in this process and remember nothing.

    Parameters
    ----------
    path : Path
    finder : SubjectFinder or None
        Finds the subject in place of the usual finder.

    Returns
    -------
    MeasuredPhotograph
        Its `file` is the name of the file without its folder.

    Raises
    ------
    UnreadablePictureError
        The picture cannot be read, or it is too small to measure. The message names the file.
    """
    try:
        photograph = _large_enough(read_photograph(path.parent, path.name))
    except UnreadablePictureError as error:
        named = f"{printable_name(str(path))}: {error.message}"
        raise UnreadablePictureError(error.code, named) from error
    photograph = replace(photograph, file=printable_name(path.name))
    return measure(photograph, default_finder() if finder is None else finder)


def read_to_measure(task: MeasuringTask) -> Photograph:
    """Read a picture as it is measured; raises `UnreadablePictureError` as `read_photograph`."""
    photograph = _large_enough(read_photograph(task.folder, task.file))
    photograph = replace(photograph, file=task.name)
    return _without_camera_areas(photograph) if task.has_default_area else photograph


def store_key(task: MeasuringTask, sha256: str) -> str:
    """The key under which the measurements of a picture with these bytes are remembered."""
    return f"{sha256} {_WITHOUT_AREAS}" if task.has_default_area else sha256


def _without_camera_areas(photograph: Photograph) -> Photograph:
    regions = tuple(region for region in photograph.regions if not region.is_by_camera)
    return replace(photograph, regions=regions)


def _large_enough(photograph: Photograph) -> Photograph:
    """The same picture; raises if it is too small to measure."""
    if min(photograph.pixels.shape[:2]) < LEAST_SIDE_PX:
        raise UnreadablePictureError(
            RefusalReason.TOO_FEW_PIXELS,
            f"{photograph.width} by {photograph.height} pixels are too few, or too"
            " narrow a strip, to measure. Deliver a larger export.",
        )
    return photograph


def remembered_or_measured(
    photograph: Photograph, key: str, store: Store, settings: MeasuringSettings
) -> MeasuredPhotograph:
    """The measurements that are remembered under a key, else those made now and kept under it."""
    remembered = None if settings.fresh else remembered_picture(photograph.file, key, store)
    if remembered is not None:
        return remembered
    measured = measure(photograph, settings.finder or default_finder())
    _logger.info("%s: measured", one_line(photograph.file))
    store.put(key, _stored.dump_json(measured).decode())
    return measured


def remembered_picture(name: str, key: str, store: Store) -> MeasuredPhotograph | None:
    """What is remembered under a key, for the picture of this name; None if nothing is."""
    text = store.get(key)
    if text is None:
        return None
    try:
        remembered = replace(_stored.validate_json(text), file=name)
    except ValidationError:
        _logger.warning("%s: what was remembered of it cannot be read", one_line(name))
        return None
    _logger.info("%s: remembered", one_line(name))
    return remembered


def _failed(name: str, error: Exception) -> RefusedPicture:
    return RefusedPicture(
        name,
        RefusalReason.MEASURING_FAILED,
        f"Measuring it failed ({type(error).__name__}: {error}). This is a fault of auditor, or of"
        " a finder that it was given, not of the picture; the other pictures are not affected. An"
        " audit with --log FILE keeps the details.",
    )


def _killed(name: str) -> RefusedPicture:
    _logger.error("%s: its process was killed twice, the second time with it alone", one_line(name))
    return RefusedPicture(
        name,
        RefusalReason.PROCESS_KILLED,
        "The process that measured it was killed twice, the second time with no other"
        " picture at work. Most often the memory is full, or the file makes a decoder crash: close"
        " other programs, or export the picture smaller or in another format (JPEG).",
    )
