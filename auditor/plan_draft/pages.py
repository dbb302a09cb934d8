"""Drawn pages: which files are some, what their frames become, what shows how they were read."""

from __future__ import annotations

import io
import logging
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from PIL.Image import Image

from auditor.errors import NoSketchError, PhotographNotSketchError, UnreadablePictureError
from auditor.plan_draft.draft import ShotDraft
from auditor.plan_draft.from_sketch import names_of_supporting, shot_of_frame
from auditor.plan_draft.names import readable
from auditor.safe_text import one_line, shown_path
from auditor.sketch.drawn import DrawnFrame
from auditor.sketch.reading import read_page
from auditor.sketch.understood import draw_understood

IF_FINISHED = "If it is a finished picture, add --from pictures."

_logger = logging.getLogger(__name__)


@dataclass(frozen=True, slots=True)
class Page:
    """A page that was read.

    Attributes
    ----------
    path : Path
    frames : tuple of DrawnFrame
        In reading order; at least one.
    """

    path: Path
    frames: tuple[DrawnFrame, ...]


def read_if_drawn(path: Path, *, is_known: bool) -> Page | str | None:
    """Read a file if it is a drawn page.

    Parameters
    ----------
    path : Path
    is_known : bool
        True if it is said to be one.

    Returns
    -------
    Page or str or None
        A message that names the file where the page cannot be read; None for a finished picture,
        and for what cannot be read at all, which is said when it is measured.
    """
    try:
        return Page(path, read_page(path))
    except PhotographNotSketchError as error:
        return str(error) if is_known else None
    except NoSketchError as error:
        return str(error) if is_known else f"{error} {IF_FINISHED}"
    except UnreadablePictureError as error:
        return f"{shown_path(path)}: {error.message}" if is_known else None
    except Exception as error:  # the other files are read all the same
        _logger.exception("%s: reading failed", one_line(str(path)))
        return (
            f"{shown_path(path)}: reading it as a drawn page failed"
            f" ({type(error).__name__}: {error}). This is a fault of auditor, not of the page; the"
            " other files are not affected."
        )


def shots_of_page(page: Page, *, is_only: bool) -> list[ShotDraft]:
    """A shot for each frame; with the name of the page where there are several pages."""
    before = "" if is_only else f"{readable(page.path.name)} "
    return [
        shot_of_frame(frame, f"{before}frame {number}")
        for number, frame in enumerate(page.frames, start=1)
    ]


def understood_pictures(plan: Path, pages: Sequence[Page]) -> dict[Path, bytes]:
    """A picture beside the plan for each page, that shows what was understood, as PNG."""
    numbers = [""] if len(pages) == 1 else [f"-{number}" for number in range(1, len(pages) + 1)]
    return {
        plan.with_name(f"{plan.stem}-understood{number}.png"): _png(
            draw_understood(page.frames, [names_of_supporting(frame) for frame in page.frames])
        )
        for number, page in zip(numbers, pages, strict=True)
    }


def _png(picture: Image) -> bytes:
    file = io.BytesIO()
    picture.save(file, "PNG", optimize=True)
    return file.getvalue()
