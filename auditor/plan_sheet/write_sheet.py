"""Read a plan, draw its frames, write the sheet."""

from __future__ import annotations

from io import BytesIO
from pathlib import Path
from urllib.parse import quote

from auditor.plan.reading import read_plan
from auditor.plan.shot_plan import Shot
from auditor.plan_sheet.compose import draw_shot
from auditor.plan_sheet.drawing import Drawing
from auditor.plan_sheet.lettering import Lettering
from auditor.plan_sheet.page import render_page
from auditor.plan_sheet.picture import COMPRESSION, paint
from auditor.plan_sheet.sheet_folder import (
    FRAMES_FOLDER,
    PAGE_FILE,
    frame_file,
    sheet_in_work,
)

Size = tuple[int, int]

PICTURE_TEXT_SIZE = 21.0  # in units of the drawing: small in a live view that fills a screen
# Without a size: the aspect ratio of most cameras, held upright where the frame is.
DEFAULT_SIZE: Size = (3000, 2000)


def write_sheet(plan_file: Path, directory: Path, size: Size | None) -> Path:
    """Write the sheet of a plan into a folder.

    Parameters
    ----------
    plan_file : Path
    directory : Path
    size : (int, int) or None
        Width and height of each frame's picture in pixels; None for `DEFAULT_SIZE`.

    Returns
    -------
    Path
        Of the page.

    Raises
    ------
    InvalidPlanError
        With all faults of the plan.
    UnusableArgumentError
        Where the folder cannot be written or holds files of others.
    """
    plan = read_plan(plan_file)
    names = [frame_file(number, shot.name) for number, shot in enumerate(plan.shots, start=1)]
    with sheet_in_work(directory) as work:
        for shot, name in zip(plan.shots, names, strict=True):
            write_picture(shot, work / FRAMES_FOLDER / name, size)
        page = render_page(plan, [f"{FRAMES_FOLDER}/{quote(name)}" for name in names])
        (work / PAGE_FILE).write_text(page, encoding="utf-8", newline="")
    return directory / PAGE_FILE


def write_picture(shot: Shot, path: Path, size: Size | None) -> None:
    """Write the frame of a shot as a transparent picture."""
    drawing = draw_shot(shot, Lettering(PICTURE_TEXT_SIZE), names_inside=False)
    picture = paint(drawing, size or _default_size(drawing))
    # Pillow does not say why a file could not be written.
    data = BytesIO()
    picture.save(data, format="PNG", compress_level=COMPRESSION)
    path.write_bytes(data.getvalue())


def _default_size(drawing: Drawing) -> Size:
    long, short = DEFAULT_SIZE
    frame = drawing.frame
    return (long, short) if frame.width >= frame.height else (short, long)
