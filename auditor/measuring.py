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
from auditor.photograph.decode import read_photograph
from auditor.photograph.photograph import Photograph
from auditor.report.previews import Preview, make_preview, preview_name
from auditor.report.recording import RefusedPicture
from auditor.runs.executor import spread
from auditor.runs.store import Store
from auditor.saliency import default_finder

Progress = Callable[[int, int, str], None]

# What a remembered measurement depends on beside the picture's own bytes.
MEASURING_LIBRARIES = ("numpy", "scipy", "scikit-image", "pillow", "piexif")
MEASURING_CODE = (
    "photograph",
    "saliency",
    "measurements",
    "colorimetry*",
    "geometry.py",
    "line_segments*",
    "quantity.py",
)

_stored = TypeAdapter(MeasuredPhotograph)


@dataclass(frozen=True, slots=True)
class MeasuringTask:
    """One picture to measure.

    Attributes
    ----------
    folder : Path
    file : str
        Relative to the folder, with ``/``.
    preview : Path
        Where its preview is to be written.
    store : Path or None
        Where measurements are remembered.
    """

    folder: Path
    file: str
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
    tasks = [
        MeasuringTask(folder, file, previews / preview_name(number, file), store)
        for number, file in enumerate(files, start=1)
    ]
    outcomes: dict[int, Outcome] = {}
    progress(0, len(tasks), "")
    # Closed here, not when it is collected: after an interrupt no process may still be writing.
    with closing(spread(measure_file, tasks, jobs)) as results:
        for index, outcome in results:
            outcomes[index] = outcome
            progress(len(outcomes), len(tasks), files[index])
    return tuple(outcomes[index] for index in range(len(tasks)))


def measure_file(task: MeasuringTask) -> Outcome:
    """Read and measure one picture, or say why that cannot be done."""
    try:
        photograph = read_photograph(task.folder, task.file)
    except UnreadablePictureError as error:
        return Outcome(RefusedPicture(task.file, error.code, error.message), None)
    preview = make_preview(photograph.pixels, task.preview)
    with Store(task.store) as store:
        return Outcome(_remembered_or_measured(photograph, store), preview)


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
    root = Path(__file__).parent
    for pattern in MEASURING_CODE:
        for part in sorted(root.glob(pattern)):
            for source in sorted(part.rglob("*")) if part.is_dir() else [part]:
                if source.is_file() and source.suffix != ".pyc":
                    digest.update(source.relative_to(root).as_posix().encode())
                    digest.update(source.read_bytes())
    for library in MEASURING_LIBRARIES:
        digest.update(f"{library} {version(library)}".encode())
    return digest.hexdigest()
