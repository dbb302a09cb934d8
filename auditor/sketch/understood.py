"""A picture of what was understood: each frame's ink with what was read drawn over it."""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np
from PIL import Image, ImageDraw, ImageFont

from auditor.geometry import Box, Point
from auditor.sketch.drawn import LEAST_STATED, SURE, DrawnFrame, DrawnThing, Guess, Shape
from auditor.sketch.labels import Labels, Rectangle
from auditor.technique_lines import technique_lines
from auditor.vocabulary.camera_angle import camera_words
from auditor.vocabulary.light import light_words

Colour = tuple[int, int, int]

# The page's colours (auditor/page/static/base.css), and one for what was planned, darkened for thin
# lines on white.
PAPER, SHEET, INK, SOFT, RULE = (
    (239, 239, 239),
    (251, 251, 251),
    (29, 29, 29),
    (89, 89, 89),
    (207, 207, 207),
)
SUBJECT, PLANNED = (152, 48, 26), (0, 104, 140)
DRAWN_GREY = 120  # of the darkest ink: the drawing stays behind what was read
FRAME_PX, MARGIN_PX, GAP_PX, CAPTION_PX = 520, 46, 28, 78
MOST_COLUMNS = 3
CAPTION_GAP_PX = 12
LABEL_PX, CAPTION_TEXT_PX = 17, 18
HATCH_PX, DASH_PX = 9, 9
ARROW_SHARE, HEAD_SHARE = 0.13, 0.35  # of the frame's diagonal; of the arrow


def draw_understood(
    frames: Sequence[DrawnFrame], names: Sequence[Sequence[str | None]]
) -> Image.Image:
    """Draw all frames of a page side by side, in reading order.

    Parameters
    ----------
    frames : sequence of DrawnFrame
        At least one.
    names : sequence of sequence of (str or None)
        For each frame, what the plan calls its supporting elements; None is not drawn.
    """
    tiles = [
        _tile(frame, number, own)
        for number, (frame, own) in enumerate(zip(frames, names, strict=True), start=1)
    ]
    n_columns = min(MOST_COLUMNS, len(tiles))
    rows = [tiles[i : i + n_columns] for i in range(0, len(tiles), n_columns)]
    columns = [max(row[i].width for row in rows if i < len(row)) for i in range(n_columns)]
    heights = [max(tile.height for tile in row) for row in rows]
    width = sum(columns) + GAP_PX * (n_columns + 1)
    height = sum(heights) + GAP_PX * (len(rows) + 1)
    sheet = Image.new("RGB", (width, height), PAPER)
    top = GAP_PX
    for row, row_height in zip(rows, heights, strict=True):
        left = GAP_PX
        for tile, column in zip(row, columns, strict=False):
            sheet.paste(tile, (left, top))
            left += column + GAP_PX
        top += row_height + GAP_PX
    return sheet


class _Drawing:
    """One frame being drawn: places of the frame become pixels of the tile."""

    def __init__(self, frame: DrawnFrame) -> None:
        height, width = frame.page.ink.shape
        scale = FRAME_PX / max(height, width)
        self.width, self.height = round(width * scale), round(height * scale)
        size = (self.width + 2 * MARGIN_PX, self.height + 2 * MARGIN_PX + CAPTION_PX)
        self.image = Image.new("RGB", size, SHEET)
        self.image.paste(self._ink(frame, scale), (0, 0))
        self.pencil = ImageDraw.Draw(self.image)
        self.font = ImageFont.load_default(LABEL_PX)
        self.labels = Labels(Rectangle(2, 2, size[0] - 2, size[1] - CAPTION_PX))

    def _ink(self, frame: DrawnFrame, scale: float) -> Image.Image:
        """The drawing in grey, with a part of its margin."""
        surround = frame.page.surround
        margin = (surround.shape[0] - frame.page.ink.shape[0]) // 2
        crop = margin - round(MARGIN_PX / scale)
        cut = surround[
            max(0, crop) : surround.shape[0] - max(0, crop),
            max(0, crop) : surround.shape[1] - max(0, crop),
        ]
        grey = SHEET[0] - (SHEET[0] - DRAWN_GREY) * np.clip(cut, 0, 1)
        size = (self.width + 2 * MARGIN_PX, self.height + 2 * MARGIN_PX)
        image = Image.fromarray(grey.astype(np.uint8)).resize(size, Image.Resampling.LANCZOS)
        return image.convert("RGB")

    def at(self, point: Point) -> tuple[float, float]:
        """Pixels of a place in the frame."""
        return MARGIN_PX + point.x * self.width, MARGIN_PX + point.y * self.height

    def rectangle(self, box: Box) -> Rectangle:
        """Pixels of a box in the frame."""
        left, top = self.at(Point(box.left, box.top))
        right, bottom = self.at(Point(box.right, box.bottom))
        return Rectangle(left, top, right, bottom)

    def line(self, a: Point, b: Point, colour: Colour, width: int = 2) -> None:
        """A line between two places."""
        self.pencil.line([self.at(a), self.at(b)], fill=colour, width=width)

    def dashed(self, a: Point, b: Point, colour: Colour) -> None:
        """A dashed line between two places in pixels of the frame."""
        (x0, y0), (x1, y1) = ((p.x + MARGIN_PX, p.y + MARGIN_PX) for p in (a, b))
        length = math.hypot(x1 - x0, y1 - y0)
        for start in np.arange(0.0, length, 2.0 * DASH_PX):
            stop = min(start + DASH_PX, length)
            self.pencil.line(
                [(x0 + (x1 - x0) * t / length, y0 + (y1 - y0) * t / length) for t in (start, stop)],
                fill=colour,
                width=2,
            )

    def label(self, text: str, beside: Rectangle, colour: Colour) -> None:
        """Words beside a rectangle, where no other words stand."""
        left, top, right, bottom = self.font.getbbox(text)
        place = self.labels.place(right - left + 8, bottom - top + 8, beside)
        self.pencil.rectangle(place, fill=SHEET, outline=colour)
        self.pencil.text(
            (place.left + 4 - left, place.top + 4 - top), text, fill=colour, font=self.font
        )


def _tile(frame: DrawnFrame, number: int, names: Sequence[str | None]) -> Image.Image:
    drawing = _Drawing(frame)
    corner = drawing.rectangle(Box(0.0, 0.0, 1.0, 1.0))
    drawing.pencil.rectangle(corner, outline=INK, width=2)
    for box in frame.notes:
        _hatched(drawing, drawing.rectangle(box))
    if frame.technique is not None:
        size = float(drawing.width), float(drawing.height)
        for line in technique_lines(frame.technique.value, *size):
            drawing.dashed(line[0], line[-1], PLANNED)
    named = zip(names, frame.supporting, strict=True)
    things = [(name, one, INK) for name, one in named if name is not None]
    if frame.subject is not None:
        things.append(("subject", frame.subject, SUBJECT))
    for _, one, _ in things:
        drawing.labels.avoid(drawing.rectangle(one.box))
    if frame.light_clock is not None:
        _light(drawing, frame.light_clock)
    for name, one, colour in reversed(things):
        _thing(drawing, name, one, colour)
    _caption(drawing, frame, number)
    return drawing.image


def _hatched(drawing: _Drawing, area: Rectangle) -> None:
    """Hatch an area lightly: it was not read as a thing."""
    left, top, right, bottom = (round(v) for v in area)
    right = min(right, drawing.width + 2 * MARGIN_PX)
    bottom = min(bottom, drawing.height + 2 * MARGIN_PX - CAPTION_GAP_PX)
    if right <= left or bottom <= top:
        return
    patch = drawing.image.crop((left, top, right, bottom))
    pencil = ImageDraw.Draw(patch)
    for shift in range(-patch.height, patch.width, HATCH_PX):
        pencil.line([(shift, patch.height), (shift + patch.height, 0)], fill=RULE, width=2)
    pencil.rectangle((0, 0, patch.width - 1, patch.height - 1), outline=RULE)
    drawing.image.paste(patch, (left, top))
    drawing.labels.avoid(area)


def _thing(drawing: _Drawing, name: str, one: DrawnThing, colour: Colour) -> None:
    area = drawing.rectangle(one.box)
    width = 3 if colour == SUBJECT else 2
    if one.shape is Shape.OVAL and one.axis_ratio is not None and one.axis_angle_deg is not None:
        drawing.pencil.line(_oval(drawing, one), fill=colour, width=width, joint="curve")
    else:
        drawing.pencil.rectangle(area, outline=colour, width=width)
    x, y = drawing.at(one.centre)
    drawing.pencil.ellipse((x - 4, y - 4, x + 4, y + 4), fill=colour)
    drawing.label(name, area, colour)


def _oval(drawing: _Drawing, one: DrawnThing) -> list[tuple[float, float]]:
    """Points of the ellipse with an oval's centre, area, ratio and direction."""
    area = one.area_fraction * drawing.width * drawing.height
    ratio = one.axis_ratio or 1.0
    major = math.sqrt(area / (math.pi * ratio))
    turn = math.radians(one.axis_angle_deg or 0.0)
    x, y = drawing.at(one.centre)
    points = []
    for t in np.linspace(0, 2 * math.pi, 73):
        u, v = major * math.cos(t), major * ratio * math.sin(t)
        points.append(
            (
                x + u * math.cos(turn) + v * math.sin(turn),
                y - u * math.sin(turn) + v * math.cos(turn),
            )
        )
    return points


def _light(drawing: _Drawing, guess: Guess[float]) -> None:
    """An arrow from the side of the light towards the middle, with its direction in words."""
    angle = math.radians(30 * guess.value)
    x, y = math.sin(angle), -math.cos(angle)  # towards the light, as the dial is drawn
    middle = drawing.at(Point(0.5, 0.5))
    reach = min((drawing.width / 2) / max(abs(x), 1e-6), (drawing.height / 2) / max(abs(y), 1e-6))
    length = ARROW_SHARE * math.hypot(drawing.width, drawing.height)
    start = (middle[0] + x * (reach + MARGIN_PX / 3), middle[1] + y * (reach + MARGIN_PX / 3))
    end = (start[0] - x * length, start[1] - y * length)
    drawing.pencil.line([start, end], fill=PLANNED, width=4)
    for side in (-0.5, 0.5):
        barb = angle + side
        drawing.pencil.line(
            [
                end,
                (
                    end[0] + HEAD_SHARE * length * math.sin(barb),
                    end[1] - HEAD_SHARE * length * math.cos(barb),
                ),
            ],
            fill=PLANNED,
            width=4,
        )
    beside = Rectangle(
        min(start[0], end[0]), min(start[1], end[1]), max(start[0], end[0]), max(start[1], end[1])
    )
    drawing.labels.avoid(beside)
    drawing.label(_doubt(guess.confidence) + light_words(guess.value), beside, PLANNED)


def _caption(drawing: _Drawing, frame: DrawnFrame, number: int) -> None:
    font = ImageFont.load_default(CAPTION_TEXT_PX)
    top = MARGIN_PX * 2 + drawing.height - 8
    first = f"{number}  "
    first += frame.technique.value if frame.technique else "no lines of a technique"
    drawing.pencil.text((MARGIN_PX, top), first, fill=INK, font=font)
    parts = []
    if frame.camera_elevation_deg is not None:
        guess = frame.camera_elevation_deg
        parts.append(f"{_doubt(guess.confidence)}{camera_words(guess.value)}, {guess.value:.0f}°")
    if frame.empty_side is not None and frame.empty_fraction is not None:
        parts.append(f"empty {frame.empty_side.value}, {100 * frame.empty_fraction.value:.0f} %")
    second = "  ·  ".join(parts) if parts else "camera not shown"
    drawing.pencil.text((MARGIN_PX, top + 30), second, fill=SOFT, font=font)


def _doubt(confidence: float) -> str:
    if confidence >= SURE:
        return ""
    return "probably " if confidence >= LEAST_STATED else "perhaps "
