"""Read a page of drawn frames from its file."""

from __future__ import annotations

from pathlib import Path

from auditor.errors import NoSketchError, PhotographNotSketchError
from auditor.photograph.decode import read_photograph
from auditor.safe_text import shown_path
from auditor.sketch.drawn import DrawnFrame, FrameOnPage
from auditor.sketch.frames import find_frames
from auditor.sketch.interpret import interpret
from auditor.sketch.recognition import LEAST_SKETCH, is_empty, is_sketch


def read_page(path: Path) -> tuple[DrawnFrame, ...]:
    """Read every drawn frame of a page, in reading order.

    Parameters
    ----------
    path : Path
        A photograph or a scan of a page, or a picture from a tablet.

    Raises
    ------
    UnreadablePictureError
        The file is no picture that can be read.
    PhotographNotSketchError
        The picture is no page; a kind of `NoSketchError`.
    NoSketchError
        The page shows no drawn frame.
    """
    return tuple(interpret(frame) for frame in frames_of(path))


def frames_of(path: Path) -> tuple[FrameOnPage, ...]:
    """The drawn frames of a page, straightened; at least one. Raises as `read_page`."""
    page = read_photograph(path.parent, path.name).detail
    if is_sketch(page) < LEAST_SKETCH:
        raise PhotographNotSketchError(
            f"{shown_path(path)}: this is a photograph, not a drawn page; "
            "give a photograph or a scan of the sketch."
        )
    frames = find_frames(page)
    if frames:
        return frames
    if is_empty(page):
        raise NoSketchError(
            f"{shown_path(path)}: the page is empty, or its lines are too faint to see; draw with "
            "a darker pen or photograph the page in more light."
        )
    raise NoSketchError(
        f"{shown_path(path)}: there is writing or drawing, but no frame; draw a rectangle with "
        "four closed sides around each picture and photograph the whole page."
    )
