"""Turn a picture about its middle, and the largest rectangle without its empty corners."""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import NDArray
from PIL import Image

from auditor.geometry import Box, Point


def inscribed_box(width: float, height: float, turn_deg: float) -> Box:
    """The largest rectangle of the frame's own ratio that a turned picture fills.

    Scaled by s about the middle, the rectangle lies in the turned frame if its corners do:
    s (w cos + h sin) <= w and s (w sin + h cos) <= h, with the absolute values of both.

    Parameters
    ----------
    width, height : float
        Of the frame, in pixels; only their ratio matters.
    turn_deg : float
        In [-90, 90].

    Returns
    -------
    Box
        As fractions of the frame, which keeps its size.
    """
    sine = abs(math.sin(math.radians(turn_deg)))
    cosine = abs(math.cos(math.radians(turn_deg)))
    scale = min(width / (width * cosine + height * sine), height / (width * sine + height * cosine))
    margin = (1 - scale) / 2
    return Box(margin, margin, 1 - margin, 1 - margin)


def turned(pixels: NDArray[np.uint8], turn_deg: float) -> NDArray[np.uint8]:
    """The picture turned about its middle, clockwise positive, in a frame of the same size.

    Parameters
    ----------
    pixels : (H, W, 3) uint8 array
    turn_deg : float

    Returns
    -------
    (H, W, 3) uint8 array
        Its empty corners are black.
    """
    if not turn_deg:
        return pixels
    # Pillow turns anticlockwise.
    picture = Image.fromarray(np.ascontiguousarray(pixels))
    return np.array(picture.rotate(-turn_deg, Image.Resampling.BICUBIC, expand=False))


def turned_point(point: Point, width: float, height: float, turn_deg: float) -> Point:
    """Where a position of the frame lies after a turn, clockwise positive, as fractions."""
    x, y = (point.x - 0.5) * width, (point.y - 0.5) * height
    angle = math.radians(turn_deg)  # y runs downwards: a positive angle is clockwise as seen
    return Point(
        0.5 + (x * math.cos(angle) - y * math.sin(angle)) / width,
        0.5 + (x * math.sin(angle) + y * math.cos(angle)) / height,
    )
