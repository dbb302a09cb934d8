"""Read and measure one picture: what a worker does. It writes nothing."""

from __future__ import annotations

import logging
from dataclasses import dataclass, replace
from pathlib import Path

from auditor.errors import UnreadablePictureError
from auditor.measurements.measured_photograph import MeasuredPhotograph, measure
from auditor.output.previews import EncodedPreview, encode_preview
from auditor.photograph.decode import read_photograph
from auditor.photograph.folder import printable_name
from auditor.photograph.photograph import Photograph
from auditor.photograph.refusals import too_little_memory
from auditor.reasons import RefusalReason
from auditor.runs.outcome import RefusedPicture
from auditor.safe_text import one_line
from auditor.saliency import default_finder
from auditor.saliency.finder import SubjectFinder

# A strip that is narrower than this at working size has nothing that could be measured.
LEAST_SIDE_PX = 48

_logger = logging.getLogger(__name__)


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
    has_default_area : bool
        True if its camera writes the same area into every picture; the area is then not used.
    with_preview : bool
        True to make its previews too.
    measured : MeasuredPhotograph or None
        What is known already; if the file still has the same bytes, only its previews are made.
    """

    folder: Path
    file: str
    name: str
    has_default_area: bool = False
    with_preview: bool = False
    measured: MeasuredPhotograph | None = None


@dataclass(frozen=True, slots=True)
class MeasuredFile:
    """What was made of a picture.

    Attributes
    ----------
    picture : MeasuredPhotograph or RefusedPicture
    preview : EncodedPreview or None
    """

    picture: MeasuredPhotograph | RefusedPicture
    preview: EncodedPreview | None


def measure_file(task: MeasuringTask, finder: SubjectFinder | None) -> MeasuredFile:
    """Read and measure one picture and make its previews, or refuse the picture.

    Parameters
    ----------
    task : MeasuringTask
    finder : SubjectFinder or None
        None for the finder that an audit uses.
    """
    try:
        photograph = read_to_measure(task)
        preview = encode_preview(photograph.pixels) if task.with_preview else None
        if task.measured is not None and task.measured.sha256 == photograph.sha256:
            return MeasuredFile(task.measured, preview)
        measured = measure(photograph, finder or default_finder())
    except UnreadablePictureError as error:
        _logger.info("%s: refused, %s", one_line(task.name), error.code, exc_info=True)
        return MeasuredFile(RefusedPicture(task.name, error.code, error.message), None)
    except Exception as error:  # the other pictures are measured all the same
        _logger.exception("%s: measuring failed", one_line(task.name))
        return MeasuredFile(_failed(task.name, error), None)
    _logger.info("%s: measured", one_line(task.name))
    return MeasuredFile(measured, preview)


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


def _failed(name: str, error: Exception) -> RefusedPicture:
    if isinstance(error, MemoryError):
        refusal = too_little_memory()
        return RefusedPicture(name, refusal.code, refusal.message)
    return RefusedPicture(
        name,
        RefusalReason.MEASURING_FAILED,
        f"Measuring it failed ({type(error).__name__}: {error}). This is a fault of auditor, or of"
        " a finder that it was given, not of the picture; the other pictures are not affected. An"
        " audit with --log FILE keeps the details.",
    )
