"""Turns: a drawn line becomes level, and the rectangle is the largest without empty corners."""

import math

import numpy as np
import pytest
from PIL import Image, ImageDraw

from auditor.corrections import inscribed_box
from auditor.corrections.turning import turned, turned_point
from auditor.geometry import Point


def line_rising(deg, size=(600, 400)):
    """A white line through the middle that rises to the right by so many degrees."""
    image = Image.new("RGB", size)
    x, y = size[0] / 2, size[1] / 2
    dx, dy = 150 * math.cos(math.radians(deg)), -150 * math.sin(math.radians(deg))
    ImageDraw.Draw(image).line([x - dx, y - dy, x + dx, y + dy], fill="white", width=3)
    return np.array(image)


def slope_deg(pixels):
    rows, columns = np.nonzero(pixels[..., 1] > 127)
    return -math.degrees(math.atan(np.polyfit(columns, rows, 1)[0]))


@pytest.mark.parametrize("deg", [-6.0, -1.5, 2.0, 4.5])
def test_a_line_that_rises_becomes_level_by_a_clockwise_turn(deg):
    drawn = line_rising(deg)
    assert slope_deg(drawn) == pytest.approx(deg, abs=0.4)  # drawn in whole pixels
    assert slope_deg(turned(drawn, deg)) == pytest.approx(slope_deg(drawn) - deg, abs=0.1)


@pytest.mark.parametrize("size", [(600, 400), (400, 600), (500, 500), (1600, 400)])
@pytest.mark.parametrize("deg", [-7.0, 0.8, 3.0, 15.0])
def test_the_rectangle_is_the_largest_without_empty_corners(size, deg):
    width, height = size
    box = inscribed_box(width, height, deg)
    assert (box.left, box.right) == pytest.approx((box.top, box.bottom))

    def is_filled(scale):
        """Whether the corners of the scaled frame lie in the turned picture."""
        for x in (-scale, scale):
            for y in (-scale, scale):
                point = Point(0.5 + x / 2, 0.5 + y / 2)
                back = turned_point(point, width, height, -deg)
                if not (-1e-9 <= back.x <= 1 + 1e-9 and -1e-9 <= back.y <= 1 + 1e-9):
                    return False
        return True

    scales = np.linspace(0.3, 1.0, 70001)
    largest = max(scale for scale in scales if is_filled(scale))
    assert box.right - box.left == pytest.approx(largest, abs=2e-5)


@pytest.mark.parametrize("deg", [-4.0, 2.5])
def test_a_white_picture_stays_white_inside_the_rectangle(deg):
    white = np.full((300, 450, 3), 255, dtype=np.uint8)
    after = turned(white, deg)
    assert after.min() == 0
    box = inscribed_box(450, 300, deg)
    left, right = math.ceil(box.left * 450) + 1, math.floor(box.right * 450) - 1
    top, bottom = math.ceil(box.top * 300) + 1, math.floor(box.bottom * 300) - 1
    assert after[top:bottom, left:right].min() == 255


def test_a_position_turns_as_the_pixels_do():
    pixels = np.zeros((400, 600, 3), dtype=np.uint8)
    pixels[98:103, 448:453] = 255
    after = turned(pixels, 10.0)
    rows, columns = np.nonzero(after[..., 0] > 127)
    at = turned_point(Point(450.5 / 600, 100.5 / 400), 600, 400, 10.0)
    assert (columns.mean() + 0.5, rows.mean() + 0.5) == pytest.approx(
        (at.x * 600, at.y * 400), abs=0.5
    )
