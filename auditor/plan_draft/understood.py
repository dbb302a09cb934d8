"""A picture of what was understood of a drawn page, over its straightened frames.

The pencil is grey; what was understood lies over it in colour, with the names that the plan has,
and below each frame stands what cannot be drawn.
"""

from __future__ import annotations

import io
import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from PIL import Image, ImageDraw, ImageFont

from auditor.comparison.candidates import contains
from auditor.geometry import GOLDEN_RATIO, Box, Point
from auditor.plan_draft.from_sketch import named_things
from auditor.plan_draft.phrases import EMPTY, NOT_READ, SUBJECT, caption_lines
from auditor.sketch.drawn import DrawnFrame, DrawnThing

FRAME_SIDE_PX = 560  # long side of a frame: three of them fit beside each other on a screen
MARGIN_PX, LINE_PX, TEXT_PX = 44, 22, 16
MOST_COLUMNS = 3
OUTLINE_PX = 3
ARROW_PX = 70  # the shaft of the light, which begins in the margin
HEAD_PX = 14

# As on the page of a report: warm for the subject, cool for what stands beside it.
PAPER, INK, TEXT = (252, 250, 246), (70, 66, 62), (45, 42, 40)
SUBJECT_COLOUR, THING_COLOUR = (201, 84, 24), (22, 110, 122)
GUIDE_COLOUR, LIGHT_COLOUR = (120, 150, 205), (176, 128, 0)
NOTE_COLOUR, EMPTY_COLOUR = (130, 130, 130), (74, 122, 64)

_Colour = tuple[int, int, int]
_Line = tuple[Point, Point]


@dataclass(frozen=True, slots=True)
class _Canvas:
    """A frame on the picture: where it is, and what draws there."""

    pen: ImageDraw.ImageDraw
    font: ImageFont.FreeTypeFont | ImageFont.ImageFont
    left: int
    top: int
    width: int
    height: int

    def at(self, point: Point) -> tuple[float, float]:
        """A position of the frame in pixels of the picture."""
        return self.left + point.x * self.width, self.top + point.y * self.height

    def line(self, line: _Line, colour: _Colour, width: int = 1) -> None:
        """A line between two positions of the frame."""
        self.pen.line([self.at(line[0]), self.at(line[1])], fill=colour, width=width)

    def box(self, box: Box, colour: _Colour, width: int) -> None:
        """A rectangle."""
        corners = (*self.at(Point(box.left, box.top)), *self.at(Point(box.right, box.bottom)))
        self.pen.rectangle(corners, outline=colour, width=width)


def understood_picture(frames: Sequence[DrawnFrame], names: Sequence[str]) -> bytes:
    """Draw what was understood of all frames of a page, as PNG.

    Parameters
    ----------
    frames : sequence of DrawnFrame
        At least one.
    names : sequence of str
        Of their shots.
    """
    font = ImageFont.load_default(TEXT_PX)
    captions = [caption_lines(frame, name) for frame, name in zip(frames, names, strict=True)]
    n_columns = min(MOST_COLUMNS, len(frames))
    cell_width = FRAME_SIDE_PX + 2 * MARGIN_PX
    rows = [
        range(start, min(start + n_columns, len(frames)))
        for start in range(0, len(frames), n_columns)
    ]
    heights = [max(_cell_height(frames[one], captions[one]) for one in row) for row in rows]
    picture = Image.new("RGB", (n_columns * cell_width, sum(heights)), PAPER)
    pen = ImageDraw.Draw(picture)
    top = 0
    for row, height in zip(rows, heights, strict=True):
        for column, index in enumerate(row):
            frame = frames[index]
            width, tall = _size(frame)
            left = column * cell_width + MARGIN_PX
            picture.paste(_pencil(frame, (width, tall)), (left, top + MARGIN_PX))
            canvas = _Canvas(pen, font, left, top + MARGIN_PX, width, tall)
            _draw_frame(canvas, frame, captions[index])
        top += height
    file = io.BytesIO()
    picture.save(file, "PNG", optimize=True)
    return file.getvalue()


def _size(frame: DrawnFrame) -> tuple[int, int]:
    ratio = frame.page.aspect_ratio
    return round(FRAME_SIDE_PX * min(1.0, ratio)), round(FRAME_SIDE_PX * min(1.0, 1 / ratio))


def _cell_height(frame: DrawnFrame, caption: Sequence[str]) -> int:
    return _size(frame)[1] + 2 * MARGIN_PX + len(caption) * LINE_PX


def _pencil(frame: DrawnFrame, size: tuple[int, int]) -> Image.Image:
    """The straightened drawing in grey on paper."""
    ink = np.clip(frame.page.ink, 0, 1)[..., np.newaxis]
    paper, pencil = np.array(PAPER, float), np.array(INK, float)
    pixels = paper + ink * (pencil - paper)
    return Image.fromarray(pixels.round().astype(np.uint8)).resize(size, Image.Resampling.LANCZOS)


def _draw_frame(canvas: _Canvas, frame: DrawnFrame, caption: Sequence[str]) -> None:
    box = (canvas.left, canvas.top, canvas.left + canvas.width, canvas.top + canvas.height)
    canvas.pen.rectangle(box, outline=INK)
    for line in _GUIDES.get("" if frame.technique is None else frame.technique.value, ()):
        canvas.line(line, GUIDE_COLOUR)
    inside = Box(0.0, 0.0, 1.0, 1.0)
    for note in (one for one in frame.notes if contains(inside, one.centre)):
        canvas.box(note, NOTE_COLOUR, 1)
        _label(canvas, Point(note.left, note.top), NOT_READ, NOTE_COLOUR)
    for name, thing in named_things(frame):
        _outline(canvas, thing, name, THING_COLOUR)
    if frame.subject is not None:
        _outline(canvas, frame.subject, SUBJECT, SUBJECT_COLOUR)
    side = None if frame.empty_side is None else _SIDES.get(frame.empty_side.value)
    if side is not None:
        _label(canvas, side, EMPTY, EMPTY_COLOUR)
    if frame.light_clock is not None:
        _arrow(canvas, frame.light_clock.value)
    for number, line_text in enumerate(caption):
        place = (canvas.left, canvas.top + canvas.height + MARGIN_PX / 2 + number * LINE_PX)
        canvas.pen.text(place, line_text, fill=TEXT, font=canvas.font)


def _outline(canvas: _Canvas, thing: DrawnThing, name: str, colour: _Colour) -> None:
    """The oval that was fitted, or the box, with a cross at the centre and the name."""
    if thing.axis_ratio is not None and thing.axis_angle_deg is not None:
        points = _oval(canvas, thing, thing.axis_ratio, thing.axis_angle_deg)
        canvas.pen.line(points, fill=colour, width=OUTLINE_PX, joint="curve")
    else:
        canvas.box(thing.box, colour, OUTLINE_PX)
    x, y = canvas.at(thing.centre)
    for dx, dy in ((HEAD_PX / 2, 0), (0, HEAD_PX / 2)):
        canvas.pen.line([(x - dx, y - dy), (x + dx, y + dy)], fill=colour, width=OUTLINE_PX)
    _label(canvas, Point(thing.box.left, thing.box.top), name, colour)


def _oval(
    canvas: _Canvas, thing: DrawnThing, ratio: float, angle_deg: float
) -> list[tuple[float, float]]:
    """An ellipse of the thing's area, shape and direction."""
    area_px = thing.area_fraction * canvas.width * canvas.height
    major = math.sqrt(area_px / (math.pi * ratio))
    turn = math.radians(angle_deg)
    middle_x, middle_y = canvas.at(thing.centre)
    points = []
    for step in np.linspace(0, 2 * math.pi, 73):
        along, across = major * math.cos(step), ratio * major * math.sin(step)
        points.append(
            (
                middle_x + along * math.cos(turn) - across * math.sin(turn),
                middle_y - along * math.sin(turn) - across * math.cos(turn),
            )
        )
    return points


def _label(canvas: _Canvas, at: Point, text: str, colour: _Colour) -> None:
    """A name above a position, or below it at the top of the frame; on paper, to be readable."""
    x, y = canvas.at(at)
    y = y - LINE_PX if y - LINE_PX >= canvas.top else y + OUTLINE_PX
    left, top, right, bottom = canvas.pen.textbbox((x + OUTLINE_PX, y), text, font=canvas.font)
    canvas.pen.rectangle((left - 2, top - 2, right + 2, bottom + 2), fill=PAPER)
    canvas.pen.text((x + OUTLINE_PX, y), text, fill=colour, font=canvas.font)


def _arrow(canvas: _Canvas, clock: float) -> None:
    """The light as an arrow from the edge of the frame to its middle; 12 is at the top."""
    turn = math.radians(30.0 * clock)
    right, up = math.sin(turn), math.cos(turn)
    reach = min(
        canvas.width / 2 / abs(right) if abs(right) > 1e-9 else math.inf,
        canvas.height / 2 / abs(up) if abs(up) > 1e-9 else math.inf,
    )
    middle_x, middle_y = canvas.at(Point(0.5, 0.5))
    start, end = reach + MARGIN_PX / 2, reach + MARGIN_PX / 2 - ARROW_PX
    tip = (middle_x + end * right, middle_y - end * up)
    tail = (middle_x + start * right, middle_y - start * up)
    canvas.pen.line([tail, tip], fill=LIGHT_COLOUR, width=2 * OUTLINE_PX)
    for side in (-1, 1):
        away = turn + side * math.pi / 6
        wing = (tip[0] + HEAD_PX * math.sin(away), tip[1] - HEAD_PX * math.cos(away))
        canvas.pen.line([tip, wing], fill=LIGHT_COLOUR, width=2 * OUTLINE_PX)


def _crossing(share: float) -> tuple[_Line, ...]:
    """Two upright and two level lines at a share of the frame from either edge."""
    return tuple(
        line
        for at in (share, 1 - share)
        for line in ((Point(at, 0.0), Point(at, 1.0)), (Point(0.0, at), Point(1.0, at)))
    )


# Where the word for an empty side stands.
_SIDES = {
    "left": Point(0.02, 0.5),
    "right": Point(0.88, 0.5),
    "top": Point(0.46, 0.02),
    "bottom": Point(0.46, 0.98),
}
_FALLING, _RISING = (Point(0.0, 0.0), Point(1.0, 1.0)), (Point(0.0, 1.0), Point(1.0, 0.0))
# The lines of the techniques that are straight ones.
_GUIDES: dict[str, tuple[_Line, ...]] = {
    "rule of thirds": _crossing(1 / 3),
    "golden ratio": _crossing(1 - 1 / GOLDEN_RATIO),
    "centred": ((Point(0.5, 0.0), Point(0.5, 1.0)), (Point(0.0, 0.5), Point(1.0, 0.5))),
    "diagonals": (_FALLING, _RISING),
    "symmetry": ((Point(0.5, 0.0), Point(0.5, 1.0)),),
}
