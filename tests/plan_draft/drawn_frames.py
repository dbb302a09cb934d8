"""Drawn frames made up for tests."""

import dataclasses

import numpy as np

from auditor.geometry import Box, Point
from auditor.sketch.drawn import DrawnFrame, DrawnThing, FrameOnPage, Guess, Shape

BLANK = np.zeros((100, 80), dtype=np.float32)


def thing(x, y, area_fraction=0.1, shape=Shape.OVAL, confidence=0.95, height=None, **changes):
    """A thing around (x, y); `height` is that of its box, as wide as tall by default."""
    across = area_fraction**0.5 / 2
    down = across if height is None else height / 2
    box = Box(x - across, y - down, x + across, y + down)
    one = DrawnThing(Point(x, y), box, area_fraction, shape, None, None, confidence)
    return dataclasses.replace(one, **changes)


def drawn_frame(aspect_ratio=0.8, **changes):
    """A 4:5 frame with everything in it; any field replaceable."""
    corners = np.array([[0, 0], [80, 0], [80, 100], [0, 100]], dtype=float)
    frame = DrawnFrame(
        page=FrameOnPage(corners, aspect_ratio, BLANK, BLANK),
        technique=Guess("rule of thirds", 0.95),
        subject=thing(0.662, 0.338, 0.204),
        supporting=(thing(0.21, 0.8), thing(0.8, 0.82, 0.05, Shape.CLOTH)),
        camera_elevation_deg=Guess(43.0, 0.7),
        light_clock=Guess(10.4, 0.92),
        empty_fraction=Guess(0.46, 0.95),
        empty_side=Guess("left", 0.6),
        notes=(),
    )
    return dataclasses.replace(frame, **changes)
