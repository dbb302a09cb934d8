"""Examine files for the rules of a hand-over, in processes of their own.

This runs beside the measurements, whose remembered results stay as they are. What the rules do not
ask is not looked at: pixels are decoded for halos and for clipping on the subject alone.
"""

from __future__ import annotations

import logging
from collections.abc import Mapping, Sequence
from contextlib import closing
from dataclasses import dataclass
from functools import cache, partial
from pathlib import Path

import numpy as np
from numpy.typing import NDArray
from pydantic import TypeAdapter, ValidationError

from auditor.delivery.file_facts import FileFacts, facts_of
from auditor.delivery.halos import measure_halos
from auditor.errors import UnreadablePictureError
from auditor.geometry import Box
from auditor.photograph.decode import read_photograph
from auditor.photograph.memory_limit import LARGEST_PICTURE_BYTES
from auditor.regular_file import TooLargeFileError, read_regular
from auditor.runs.run import Run
from auditor.runs.store import Kept
from auditor.runs.workers import PICTURE_LIMIT_S, Lost
from auditor.safe_text import one_line

_FULL = 255

_logger = logging.getLogger(__name__)


@dataclass(frozen=True, slots=True)
class Examination:
    """One file to examine.

    Attributes
    ----------
    file : str
        Path relative to the folder, with ``/``, as it is opened.
    name : str
        The same path as it is written everywhere.
    subject : Box or None
        Around the subject, where it is known.
    with_pixels : bool
        Whether the pixels are asked for.
    """

    file: str
    name: str
    subject: Box | None = None
    with_pixels: bool = False


@dataclass(frozen=True, slots=True)
class Examined:
    """What was found in a file; the facts are empty where it could not be read.

    Attributes
    ----------
    facts : FileFacts
    has_pixels : bool
        Whether the pixels were decoded.
    halos : float or None
        As `measure_halos` reads them; None without pixels and without strong edges.
    subject_highlights, subject_shadows : float or None
        Share of the pixels within the box around the subject with any channel at the end of its
        range; None without pixels or subject.
    """

    facts: FileFacts
    has_pixels: bool = False
    halos: float | None = None
    subject_highlights: float | None = None
    subject_shadows: float | None = None


def examine_files(
    folder: Path, tasks: Sequence[Examination], sha256: Mapping[str, str], run: Run
) -> Mapping[str, Examined]:
    """Examine files, each by its name in the record; what is remembered is not done again.

    Parameters
    ----------
    folder : Path
    tasks : sequence of Examination
    sha256 : mapping of str to str
        Of the measured files, by their names in the record.
    run : Run
    """
    found, left = {}, []
    for task in tasks:
        known = _remembered(task, sha256.get(task.name), run)
        if known is None:
            left.append(task)
        else:
            found[task.name] = known
    if not left:
        return found
    function = partial(examine, folder.absolute())
    with closing(run.workers.spread(function, left, PICTURE_LIMIT_S)) as results:
        for index, result in results:
            task = left[index]
            if isinstance(result, Lost):
                found[task.name] = Examined(FileFacts())
                continue
            found[task.name] = result
            if task.name in sha256:
                key = _key(task, sha256[task.name])
                run.store.put(Kept.EXAMINED, key, _stored().dump_json(result))
    return found


def _remembered(task: Examination, sha256: str | None, run: Run) -> Examined | None:
    if sha256 is None or run.fresh:
        return None
    data = run.store.get(Kept.EXAMINED, _key(task, sha256))
    try:
        return None if data is None else _stored().validate_json(data)
    except ValidationError:
        return None


def _key(task: Examination, sha256: str) -> str:
    if not task.with_pixels:
        return sha256
    return f"{sha256} pixels {task.subject}"


@cache
def _stored() -> TypeAdapter[Examined]:
    return TypeAdapter(Examined)


def examine(folder: Path, task: Examination) -> Examined:
    """Examine one file; one that cannot be read has no facts."""
    try:
        data = read_regular(folder / task.file, LARGEST_PICTURE_BYTES)
    except TooLargeFileError as error:
        return Examined(FileFacts(error.n_bytes))
    except (OSError, ValueError, MemoryError):
        return Examined(FileFacts())
    facts = facts_of(data)
    del data  # the file is read again, and need not be in memory twice
    if not task.with_pixels:
        return Examined(facts)
    try:
        return _with_pixels(read_photograph(folder, task.file).detail, task, facts)
    except UnreadablePictureError:
        return Examined(facts)
    except Exception:  # the other files are examined all the same
        _logger.exception("%s: its pixels could not be examined", one_line(task.name))
        return Examined(facts)


def _with_pixels(pixels: NDArray[np.uint8], task: Examination, facts: FileFacts) -> Examined:
    highlights, shadows = _clipped_within(pixels, task.subject)
    return Examined(
        facts,
        has_pixels=True,
        halos=measure_halos(pixels),
        subject_highlights=highlights,
        subject_shadows=shadows,
    )


def _clipped_within(
    pixels: NDArray[np.uint8], box: Box | None
) -> tuple[float | None, float | None]:
    """Share of the pixels in a box with any channel at 255, and at 0."""
    if box is None:
        return None, None
    rows, columns = pixels.shape[:2]
    part = pixels[
        int(box.top * rows) : max(int(box.top * rows) + 1, round(box.bottom * rows)),
        int(box.left * columns) : max(int(box.left * columns) + 1, round(box.right * columns)),
    ]
    if not part.size:
        return None, None
    return (
        float((part == _FULL).any(axis=-1).mean()),
        float((part == 0).any(axis=-1).mean()),
    )
