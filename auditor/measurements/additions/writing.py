"""Writing on a picture, along its sides or slanted."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from PIL import Image

from auditor.geometry import Point
from auditor.measurements.additions.candidates import StrokeImage, stroke_images
from auditor.measurements.additions.shapes import Shapes
from auditor.measurements.additions.slanted import SlantedLine, find_slanted_lines
from auditor.measurements.additions.written_lines import find_written_lines

LONGEST_PX = 640
"""Longest side in which writing is sought: letters of 2 % of the frame are still 9 px high."""

LEAST_LOG_ODDS = 2.5
"""Log odds from which a row is writing: of 70 photographs of dishes none has such a row, of 100
photographs of streets, rooms and sports 9, some of them with print in the scene."""

LEAST_LOG_ODDS_SLANTED = 4.6
"""The same along a slanted line, where more directions are tried; none of the 70 has one. About a
quarter of the slanted watermarks drawn on them is found, mostly those that are opaque."""

SLANTED_REDUCTION = 2
"""Slanted lines are sought in the picture reduced by this: writing across a picture is large."""

CROP_MARGIN = 1.0
"""What is cut out around a slanted line, in sizes of its shapes."""


@dataclass(frozen=True, slots=True)
class Writing:
    """One line of writing.

    Attributes
    ----------
    corners : tuple of Point
        Upper left, upper right, lower right and lower left of the line as it is read, fractions of
        the frame.
    angle_deg : float
        Direction of the line, counter-clockwise from the horizontal.
    """

    corners: tuple[Point, Point, Point, Point]
    angle_deg: float


@dataclass(frozen=True, slots=True)
class FoundWriting:
    """A line with its probability and its pixels.

    Attributes
    ----------
    writing : Writing
    log_odds : float
    mask : (h, w) bool array
        True on its letters, covering the frame.
    """

    writing: Writing
    log_odds: float
    mask: NDArray[np.bool_]


def find_writing(pixels: NDArray[np.uint8]) -> list[FoundWriting]:
    """Find lines of writing in (H, W, 3) uint8 sRGB pixels, the most probable first."""
    small = _reduced(pixels)
    height, width = small.shape[:2]
    images = stroke_images(small)
    found = [
        FoundWriting(
            Writing(
                (
                    Point(line.left / width, line.top / height),
                    Point(line.right / width, line.top / height),
                    Point(line.right / width, line.bottom / height),
                    Point(line.left / width, line.bottom / height),
                ),
                0.0,
            ),
            line.log_odds,
            line.mask,
        )
        for line in find_written_lines(images, LEAST_LOG_ODDS)
    ]
    # Writing along both directions is rare, and turning takes time.
    return found or _slanted(small, images)


def _reduced(pixels: NDArray[np.uint8]) -> NDArray[np.uint8]:
    height, width = pixels.shape[:2]
    scale = LONGEST_PX / max(height, width)
    if scale >= 1:
        return pixels
    size = (max(1, round(width * scale)), max(1, round(height * scale)))
    return np.asarray(Image.fromarray(pixels).resize(size, Image.Resampling.BILINEAR))


def _slanted(pixels: NDArray[np.uint8], images: Sequence[StrokeImage]) -> list[FoundWriting]:
    """Writing along slanted lines."""
    found = []
    for image in images:
        if image.reduction == SLANTED_REDUCTION:
            for line in find_slanted_lines(image.pixels, image.strokes, image.shapes):
                one = _along(pixels, image.shapes, line)
                if one is not None:
                    found.append(one)
    return sorted(found, key=lambda one: -one.log_odds)


def _along(pixels: NDArray[np.uint8], shapes: Shapes, line: SlantedLine) -> FoundWriting | None:
    """The writing along a slanted line, found in the picture turned by its angle."""
    height, width = pixels.shape[:2]
    at = line.members
    size = float(np.maximum(shapes.height, shapes.width)[at].max())
    margin = CROP_MARGIN * size
    left = max(0, int(SLANTED_REDUCTION * (shapes.left[at].min() - margin)))
    top = max(0, int(SLANTED_REDUCTION * (shapes.top[at].min() - margin)))
    right = min(width, math.ceil(SLANTED_REDUCTION * (shapes.right[at].max() + margin)))
    bottom = min(height, math.ceil(SLANTED_REDUCTION * (shapes.bottom[at].max() + margin)))
    part = Image.fromarray(pixels[top:bottom, left:right])
    turned = part.rotate(-line.angle_deg, Image.Resampling.BICUBIC, expand=True)
    lines = find_written_lines(stroke_images(np.asarray(turned)), LEAST_LOG_ODDS_SLANTED)
    if not lines:
        return None
    best = lines[0]
    mask = np.zeros((height, width), dtype=np.bool_)
    mask[top:bottom, left:right] = _turned_back(best.mask, line.angle_deg, part.size)
    radians = math.radians(line.angle_deg)

    def place(x: float, y: float) -> Point:
        across, down = x - turned.width / 2, y - turned.height / 2
        back_x = math.cos(radians) * across + math.sin(radians) * down + part.width / 2
        back_y = -math.sin(radians) * across + math.cos(radians) * down + part.height / 2
        return Point((left + back_x) / width, (top + back_y) / height)

    corners = (
        place(best.left, best.top),
        place(best.right, best.top),
        place(best.right, best.bottom),
        place(best.left, best.bottom),
    )
    return FoundWriting(Writing(corners, line.angle_deg), best.log_odds, mask)


def _turned_back(
    mask: NDArray[np.bool_], angle_deg: float, size: tuple[int, int]
) -> NDArray[np.bool_]:
    """A mask of the turned part, in the part itself, which is `size` wide and high."""
    turned = Image.fromarray(mask.astype(np.uint8) * 255).rotate(angle_deg, expand=True)
    left, top = (turned.width - size[0]) // 2, (turned.height - size[1]) // 2
    return np.asarray(turned.crop((left, top, left + size[0], top + size[1]))) > 0
