"""Drawn pages: which files are some, and their shots."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from auditor.plan_draft.draft import ShotDraft
from auditor.plan_draft.from_sketch import shot_of_frame
from auditor.plan_draft.names import readable
from auditor.sketch.drawn import DrawnFrame


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


def looks_like_sketch(_path: Path) -> bool:
    """Whether a file is a drawn page rather than a finished picture."""
    return False


def read_drawn_page(_path: Path) -> Page | str:
    """Read a page; a message where it shows no drawn frame."""
    return "drawn pages cannot be read yet."


def shots_of_page(page: Page, *, is_only: bool) -> list[ShotDraft]:
    """A shot for each frame; with the name of the page where there are several pages."""
    before = "" if is_only else f"{readable(page.path.name)} "
    return [
        shot_of_frame(frame, f"{before}frame {number}")
        for number, frame in enumerate(page.frames, start=1)
    ]
