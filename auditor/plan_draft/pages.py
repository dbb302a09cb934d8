"""Drawn pages: which files are some, what their frames become, what shows how they were read."""

from __future__ import annotations

import logging
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from auditor.errors import NoSketchError, UnreadablePictureError
from auditor.photograph.decode import read_photograph
from auditor.photograph.folder import printable_name
from auditor.plan_draft.draft import ShotDraft
from auditor.plan_draft.from_sketch import shot_of_frame
from auditor.plan_draft.names import readable
from auditor.plan_draft.understood import understood_picture
from auditor.safe_text import one_line
from auditor.sketch.drawn import DrawnFrame
from auditor.sketch.reading import read_page
from auditor.sketch.recognition import LEAST_SKETCH, is_sketch

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
        if not is_known and not _looks_drawn(path):
            return None
        return Page(path, read_page(path))
    except NoSketchError as error:
        return str(error) if is_known else f"{error} {IF_FINISHED}"
    except UnreadablePictureError as error:
        return f"{printable_name(str(path))}: {error.message}"
    except Exception as error:  # the other files are read all the same
        _logger.exception("%s: reading failed", one_line(str(path)))
        return (
            f"{printable_name(str(path))}: reading it as a drawn page failed"
            f" ({type(error).__name__}: {error}). This is a fault of auditor, not of the page; the"
            " other files are not affected."
        )


def _looks_drawn(path: Path) -> bool:
    try:
        page = read_photograph(path.parent, path.name).detail
    except UnreadablePictureError:
        return False
    return is_sketch(page) >= LEAST_SKETCH


def shots_of_page(page: Page, *, is_only: bool) -> list[ShotDraft]:
    """A shot for each frame; with the name of the page where there are several pages."""
    names = _names(page, is_only=is_only)
    return [shot_of_frame(frame, name) for frame, name in zip(page.frames, names, strict=True)]


def _names(page: Page, *, is_only: bool) -> list[str]:
    before = "" if is_only else f"{readable(page.path.name)} "
    return [f"{before}frame {number}" for number in range(1, len(page.frames) + 1)]


def understood_pictures(plan: Path, pages: Sequence[Page]) -> dict[Path, bytes]:
    """A picture beside the plan for each page, that shows what was understood, as PNG."""
    is_only = len(pages) == 1
    return {
        plan.with_name(
            f"{plan.stem}-understood{'' if is_only else f'-{number}'}.png"
        ): understood_picture(page.frames, _names(page, is_only=is_only))
        for number, page in enumerate(pages, start=1)
    }
