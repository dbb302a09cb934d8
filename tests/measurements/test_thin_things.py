"""Handles, sticks and stripes drawn and found."""

import math

import numpy as np
import pytest
from PIL import Image, ImageDraw

from auditor.geometry import Ellipse, Point
from auditor.line_segments import find_line_segments
from auditor.measurements.thin_things import measure_thin_things
from auditor.measurements.thin_things.measure import MIN_LENGTH_FRACTION

W, H = 900, 600
DIAGONAL = math.hypot(W, H)


def found(draw_on, map_value=1.0, rims=(), subject=None):
    image = Image.new("RGB", (W, H), (120, 110, 100))
    draw_on(ImageDraw.Draw(image))
    pixels = np.asarray(image)
    seen = np.full((171, 256), map_value, dtype=np.float32)
    mask = np.zeros(seen.shape, dtype=bool) if subject is None else subject
    return measure_thin_things(pixels, find_line_segments(pixels), seen, mask, list(rims))


def bar(draw, middle, length, width, angle_deg, colour=(230, 230, 235)):
    """A straight bar; the angle is counter-clockwise from the horizontal."""
    turn = math.radians(angle_deg)
    along, across = (math.cos(turn), -math.sin(turn)), (math.sin(turn), math.cos(turn))
    draw.polygon(
        [
            (
                middle[0] + s * length / 2 * along[0] + t * width / 2 * across[0],
                middle[1] + s * length / 2 * along[1] + t * width / 2 * across[1],
            )
            for s, t in ((-1, -1), (1, -1), (1, 1), (-1, 1))
        ],
        fill=colour,
    )


@pytest.mark.parametrize("angle_deg", [0, 25, 50, 90, 130, 165])
def test_a_handle_is_found_where_it_lies(angle_deg):
    things = found(lambda draw: bar(draw, (400, 300), 240, 18, angle_deg))
    assert len(things) == 1
    assert things[0].middle == pytest.approx((400 / W, 300 / H), abs=0.02)
    (x, y), (other_x, other_y) = things[0].ends
    assert math.hypot((x - other_x) * W, (y - other_y) * H) == pytest.approx(240, abs=20)
    assert things[0].width_fraction == pytest.approx(18 / DIAGONAL, abs=0.005)


def test_a_stout_thing_is_none():
    assert found(lambda draw: bar(draw, (400, 300), 240, 160, 20)) == ()


def test_a_short_thing_is_none():
    length = 0.7 * MIN_LENGTH_FRACTION * DIAGONAL
    assert found(lambda draw: bar(draw, (400, 300), length, 14, 20)) == ()


def test_stripes_are_none():
    def stripes(draw):
        for x in range(100, 800, 90):
            bar(draw, (x, 300), 300, 16, 80)

    assert found(stripes) == ()


def test_a_seam_across_the_whole_frame_is_none():
    assert found(lambda draw: bar(draw, (450, 300), 1400, 14, 10)) == ()


def test_nothing_is_found_where_the_finder_sees_nothing():
    assert found(lambda draw: bar(draw, (400, 300), 240, 18, 25), map_value=0.1) == ()


def test_the_rim_of_a_dish_is_no_thing():
    box = (200, 100, 700, 500)

    def dish(draw):
        draw.ellipse(box, fill=(240, 240, 240))
        draw.ellipse((212, 110, 688, 490), fill=(120, 110, 100))

    rim = Ellipse(Point(0.5, 0.5), (250 / DIAGONAL, 200 / DIAGONAL), 0.0)
    assert found(dish, rims=[rim]) == ()


def test_what_runs_along_the_subject_is_its_edge():
    def handle(draw):
        bar(draw, (400, 300), 240, 18, 0)

    beside, across = np.zeros((2, 171, 256), dtype=bool)
    beside[86:, :] = True  # its outline lies under the whole bar
    across[:, 114:] = True  # and here crosses it
    assert found(handle, subject=beside) == ()
    assert len(found(handle, subject=across)) == 1


def test_an_empty_picture_has_none():
    assert found(lambda _: None) == ()


def test_two_things_are_two_in_the_mirror_too():
    def two(draw):
        bar(draw, (250, 200), 240, 18, 30)
        bar(draw, (600, 400), 180, 12, -60)

    def mirrored(draw):
        bar(draw, (W - 250, 200), 240, 18, -30)
        bar(draw, (W - 600, 400), 180, 12, 60)

    here, there = found(two), found(mirrored)
    assert len(here) == len(there) == 2
    for one, other in zip(here, there, strict=True):
        assert one.middle.x == pytest.approx(1 - other.middle.x, abs=0.02)
        assert one.middle.y == pytest.approx(other.middle.y, abs=0.02)
