"""A drawn frame as a transparent picture, to be laid over a camera's live view.

Each line has a dark core within a light casing, so that it is seen on a dark picture and on a light
one. Lines are drawn larger than they come out and reduced, a band of rows at a time, so that a
picture of a large camera needs little memory.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from PIL import Image, ImageDraw

from auditor.geometry import Box, Point
from auditor.plan_sheet.drawing import (
    DASH,
    DASH_GAP,
    Drawing,
    Points,
    Role,
    Word,
    box_of,
    dashes,
)
from auditor.plan_sheet.lettering import LINE_HEIGHT, font_and_text, font_of

OVERSAMPLING = 3
BAND_ROWS = 256
# Widths of the cores, in units of the drawing; a core is at least a pixel wide.
CORE_WIDTH = {
    Role.FRAME: 2.6,
    Role.GRID: 1.3,
    Role.EMPTY: 4.0,
    Role.DIAGONAL: 3.0,
    Role.SUPPORTING: 2.4,
    Role.SUBJECT: 3.6,
    Role.LIGHT: 3.2,
}
CASING_WIDTH = 1.4  # on either side of a core
CASING_ALPHA = 0.8
DARK, LIGHT = 17, 255
ZONE_ALPHA = 0.2
TEXT_CASING = 0.12  # of the text's size
COMPRESSION = 6

Layer = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Canvas:
    """The picture, and where the frame lies in it: as large as it fits, in the middle.

    Attributes
    ----------
    width, height : int
        Pixels.
    scale : float
        Pixels for each unit of the drawing.
    left, top : float
        The frame's upper left corner.
    """

    width: int
    height: int
    scale: float
    left: float
    top: float

    @classmethod
    def around(cls, drawing: Drawing, size: tuple[int, int]) -> Canvas:
        """A canvas of a size in pixels around a drawing."""
        width, height = size
        frame = drawing.frame
        scale = min(width / frame.width, height / frame.height)
        left, top = (width - scale * frame.width) / 2, (height - scale * frame.height) / 2
        return cls(width, height, scale, left, top)

    def at(self, points: Sequence[Point]) -> Points:
        """Bring points of the drawing to pixels of the canvas."""
        return tuple(
            Point(self.left + self.scale * p.x, self.top + self.scale * p.y) for p in points
        )


@dataclass(frozen=True, slots=True)
class _Stroke:
    """A line in pixels of the canvas, with its width there."""

    points: Points
    core: float
    casing: float

    @property
    def rows(self) -> tuple[float, float]:
        """First and last row that it touches."""
        box = box_of(self.points)
        return box.top - self.casing, box.bottom + self.casing


def paint(drawing: Drawing, size: tuple[int, int]) -> Image.Image:
    """Paint a drawing on a transparent picture of a size in pixels."""
    canvas = Canvas.around(drawing, size)
    strokes = _strokes(drawing, canvas)
    picture = Image.new("RGBA", size)
    for top in range(0, canvas.height, BAND_ROWS):
        rows = min(BAND_ROWS, canvas.height - top)
        picture.paste(_band(strokes, drawing.zones, canvas, top, rows), (0, top))
    _write(picture, drawing, canvas)
    return picture


def _strokes(drawing: Drawing, canvas: Canvas) -> list[_Stroke]:
    strokes: list[_Stroke] = []
    for line in (drawing.outline, *drawing.lines):
        core = max(1.0, CORE_WIDTH[line.role] * canvas.scale)
        casing = core + 2 * max(1.0, CASING_WIDTH * canvas.scale)
        inset = casing / 2 if line.role is Role.FRAME else 0.0
        parts = dashes(line.course, DASH, DASH_GAP) if line.is_dashed else [line.course]
        strokes += (_Stroke(_inset(canvas.at(part), canvas, inset), core, casing) for part in parts)
    return strokes


def _inset(points: Points, canvas: Canvas, by: float) -> Points:
    """Points brought into the canvas, so that a line along its border is seen whole."""
    right, bottom = canvas.width - by, canvas.height - by
    return tuple(Point(min(max(p.x, by), right), min(max(p.y, by), bottom)) for p in points)


def _band(
    strokes: Sequence[_Stroke], zones: Sequence[Box], canvas: Canvas, top: int, rows: int
) -> Image.Image:
    """A band of rows of the picture."""
    inside = [s for s in strokes if s.rows[0] <= top + rows and s.rows[1] >= top]
    core = _mask([(s.points, s.core) for s in inside], canvas, top, rows)
    casing = CASING_ALPHA * _mask([(s.points, s.casing) for s in inside], canvas, top, rows)
    veil = 1 - (1 - casing) * (1 - _veil(zones, canvas, top, rows))
    alpha = core + veil * (1 - core)
    shade = np.divide(
        core * DARK + veil * (1 - core) * LIGHT, alpha, out=np.zeros_like(alpha), where=alpha > 0
    )
    grey = Image.fromarray(np.rint(shade).astype(np.uint8))
    opacity = Image.fromarray(np.rint(255 * alpha).astype(np.uint8))
    return Image.merge("RGBA", (grey, grey, grey, opacity))


def _mask(lines: Sequence[tuple[Points, float]], canvas: Canvas, top: int, rows: int) -> Layer:
    """(rows, width) share of each pixel that lines cover."""
    times = OVERSAMPLING
    mask = Image.new("L", (canvas.width * times, rows * times))
    pen = ImageDraw.Draw(mask)
    for points, width in lines:
        flat = [value for p in points for value in (p.x * times, (p.y - top) * times)]
        pen.line(flat, fill=255, width=max(1, round(width * times)), joint="curve")
        _round_ends(pen, points, width, top)
    return np.asarray(mask.reduce(times), dtype=np.float64) / 255


def _round_ends(pen: ImageDraw.ImageDraw, points: Points, width: float, top: int) -> None:
    """Discs at both ends, without which the corners of closed lines have notches."""
    times, radius = OVERSAMPLING, width / 2
    for p in (points[0], points[-1]):
        x, y, r = p.x * times, (p.y - top) * times, radius * times
        pen.ellipse((x - r, y - r, x + r, y + r), fill=255)


def _veil(zones: Sequence[Box], canvas: Canvas, top: int, rows: int) -> Layer:
    """(rows, width) opacity of the pale areas."""
    mask = Image.new("L", (canvas.width, rows))
    pen = ImageDraw.Draw(mask)
    for zone in zones:
        (left, upper), (right, lower) = canvas.at(
            (Point(zone.left, zone.top), Point(zone.right, zone.bottom))
        )
        first, last = max(0.0, upper - top), min(rows - 1.0, lower - 1 - top)
        if first <= last:
            pen.rectangle((left, first, right - 1, last), fill=255)
    return np.asarray(mask, dtype=np.float64) / 255 * ZONE_ALPHA


def _write(picture: Image.Image, drawing: Drawing, canvas: Canvas) -> None:
    """Write the words, each in the middle of its box."""
    pen = ImageDraw.Draw(picture)
    size = drawing.text_size * canvas.scale
    casing = max(1, math.ceil(TEXT_CASING * size))
    for word in drawing.words:
        for at, line in _line_middles(word, drawing.text_size):
            (middle,) = canvas.at((at,))
            font, text = font_and_text(line)
            pen.text(
                middle,
                text,
                font=font_of(font, size),
                anchor="mm",
                fill=(DARK, DARK, DARK, 255),
                stroke_width=casing,
                stroke_fill=(LIGHT, LIGHT, LIGHT, 255),
            )


def _line_middles(word: Word, text_size: float) -> list[tuple[Point, str]]:
    """The middle of each line of a word."""
    x = (word.box.left + word.box.right) / 2
    height = LINE_HEIGHT * text_size
    return [
        (Point(x, word.box.top + (number + 0.5) * height), line)
        for number, line in enumerate(word.lines)
    ]
