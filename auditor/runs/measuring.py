"""Measure many pictures, on many cores; what is remembered is not measured again."""

from __future__ import annotations

import hashlib
from collections.abc import Callable, Sequence
from contextlib import closing
from dataclasses import dataclass, replace
from functools import cache
from importlib.metadata import version
from pathlib import Path

from pydantic import TypeAdapter, ValidationError

from auditor.errors import UnreadablePictureError
from auditor.measurements.measured_photograph import MeasuredPhotograph, measure
from auditor.output.previews import Preview, make_preview, preview_name
from auditor.photograph.decode import read_photograph
from auditor.photograph.folder import printable_names
from auditor.photograph.photograph import Photograph
from auditor.reasons import RefusalReason
from auditor.record.filling import RefusedPicture
from auditor.runs.executor import spread
from auditor.runs.store import Store
from auditor.saliency import default_finder

Progress = Callable[[int, int, str], None]

# What a remembered measurement depends on beside the picture's own bytes.
MEASURING_LIBRARIES = ("numpy", "scipy", "scikit-image", "pillow", "piexif", "defusedxml")
MEASURING_CODE = (
    "photograph/**/*.py",
    "saliency/*.py",
    "saliency/*.npz",
    "measurements/**/*.py",
    "colorimetry/**/*",
    "line_segments/**/*.py",
    "geometry.py",
    "quantity.py",
)

# A strip that is narrower than this at working size holds nothing that could be measured.
LEAST_SIDE_PX = 48

_stored = TypeAdapter(MeasuredPhotograph)


@dataclass(frozen=True, slots=True)
class MeasuringTask:
    """One picture to measure.

    Attributes
    ----------
    folder : Path
    file : str
        Relative to the folder, with ``/``, as it is opened.
    name : str
        The same as it is written everywhere: valid text.
    preview : Path
        Where its preview is to be written.
    store : Path or None
        Where measurements are remembered.
    """

    folder: Path
    file: str
    name: str
    preview: Path
    store: Path | None


@dataclass(frozen=True, slots=True)
class Outcome:
    """What came of one picture: its measurements and its preview, or its refusal."""

    picture: MeasuredPhotograph | RefusedPicture
    preview: Preview | None


def measure_all(
    folder: Path,
    files: Sequence[str],
    previews: Path,
    *,
    jobs: int,
    store: Path | None,
    progress: Progress,
) -> tuple[Outcome, ...]:
    """Measure pictures and write their previews.

    Parameters
    ----------
    folder : Path
    files : sequence of str
        Relative to the folder.
    previews : Path
        Folder for the previews.
    jobs : int
        Number of processes.
    store : Path or None
        Where measurements are remembered.
    progress : callable
        Called with the number of pictures done, their total, and the file just finished.

    Returns
    -------
    tuple of Outcome
        In the order of the files.
    """
    names = printable_names(files)
    tasks = [
        MeasuringTask(folder, file, name, previews / preview_name(number, name), store)
        for number, (file, name) in enumerate(zip(files, names, strict=True), start=1)
    ]
    outcomes: dict[int, Outcome] = {}
    progress(0, len(tasks), "")
    # Closed here, not when it is collected: after an interrupt no process may still be writing.
    with closing(spread(measure_file, tasks, jobs)) as results:
        for index, outcome in results:
            outcomes[index] = outcome
            progress(len(outcomes), len(tasks), names[index])
    return tuple(outcomes[index] for index in range(len(tasks)))


def measure_file(task: MeasuringTask) -> Outcome:
    """Read and measure one picture, or say why that cannot be done."""
    try:
        photograph = replace(read_photograph(task.folder, task.file), file=task.name)
    except UnreadablePictureError as error:
        return Outcome(RefusedPicture(task.name, error.code, error.message), None)
    if min(photograph.pixels.shape[:2]) < LEAST_SIDE_PX:
        return Outcome(_too_few_pixels(photograph), None)
    with Store(task.store) as store:
        try:
            measured = _remembered_or_measured(photograph, store)
        except Exception as error:  # one picture's fault must not cost the others
            return Outcome(_failed(photograph.file, error), None)
    return Outcome(measured, make_preview(photograph.pixels, task.preview))


def _too_few_pixels(photograph: Photograph) -> RefusedPicture:
    return RefusedPicture(
        photograph.file,
        RefusalReason.TOO_FEW_PIXELS,
        f"{photograph.width} by {photograph.height} pixels are too few, or too"
        " narrow a strip, to measure. Deliver a larger export.",
    )


def _failed(file: str, error: Exception) -> RefusedPicture:
    return RefusedPicture(
        file,
        RefusalReason.MEASURING_FAILED,
        f"Measuring it failed ({type(error).__name__}: {error}). This is a fault of"
        " auditor, not of the picture; the other pictures were measured.",
    )


def _remembered_or_measured(photograph: Photograph, store: Store) -> MeasuredPhotograph:
    key = f"{photograph.sha256} {_code_version()}"
    text = store.get(key)
    if text is not None:
        try:
            return replace(_stored.validate_json(text), file=photograph.file)
        except ValidationError:
            pass  # written by something else: measure anew and replace it
    measured = measure(photograph, default_finder())
    store.put(key, _stored.dump_json(measured).decode())
    return measured


@cache
def _code_version() -> str:
    """Digest of everything that a measurement depends on beside the picture."""
    digest = hashlib.sha256()
    root = Path(__file__).parents[1]
    for pattern in MEASURING_CODE:
        for source in sorted(root.glob(pattern)):
            if source.is_file() and source.suffix != ".pyc":
                digest.update(source.relative_to(root).as_posix().encode())
                digest.update(source.read_bytes())
    for library in MEASURING_LIBRARIES:
        digest.update(f"{library} {version(library)}".encode())
    return digest.hexdigest()
