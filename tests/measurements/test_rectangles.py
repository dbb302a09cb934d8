"""Boards on a table, drawn through a pinhole: their plane in closed form and from pictures."""

import numpy as np
import pytest
from PIL import Image
from skimage import data

from auditor.line_segments import find_line_segments
from auditor.measurements.camera_elevation import measure_camera_elevation
from auditor.measurements.camera_elevation.rectangle_pose import rectangle_planes
from auditor.reasons import Reason
from tests.measurements.drawn_dishes import FULL_FRAME_DIAGONAL_MM, Shot, draw_board

WIDTH, HEIGHT = 3.0, 2.0


def projected(corners, deg, focal_length):
    """Image of table positions (..., 2), right of and beyond the aim, from a distance of 3."""
    e = np.radians(deg)
    right, away = corners[..., 0], corners[..., 1]
    depth = 3 + away * np.cos(e)
    diagonal = np.hypot(WIDTH, HEIGHT)
    x = 0.5 + focal_length * right / depth * diagonal / WIDTH
    y = 0.5 - focal_length * away * np.sin(e) / depth * diagonal / HEIGHT
    return np.stack([x, y], axis=-1)


def turned(half_width, half_depth, spin_deg, at=(0.0, 0.0)):
    corners = np.array([(-1, -1), (1, -1), (1, 1), (-1, 1)]) * [half_width, half_depth]
    spin = np.radians(spin_deg)
    turn = np.array([[np.cos(spin), np.sin(spin)], [-np.sin(spin), np.cos(spin)]])
    return corners @ turn + at


@pytest.mark.parametrize("deg", [12.0, 30.0, 55.0, 80.0, 90.0])
@pytest.mark.parametrize("focal_length", [0.6, 1.2, 3.0])
@pytest.mark.parametrize("spin_deg", [0.0, 23.0, 71.0])
def test_plane_of_a_rectangle_in_closed_form(deg, focal_length, spin_deg):
    corners = projected(turned(0.5, 0.3, spin_deg, (0.2, -0.1)), deg, focal_length)
    normals, cosine = rectangle_planes(corners[None], WIDTH, HEIGHT, focal_length)
    e = np.radians(deg)
    assert normals[0] == pytest.approx([0, -np.cos(e), -np.sin(e)], abs=1e-6)
    assert cosine[0] == pytest.approx(0, abs=1e-6)


def test_the_corner_angle_of_a_parallelogram_is_recovered():
    slanted = turned(0.5, 0.3, 0.0)
    slanted[2:, 0] += 0.6 * np.tan(np.radians(20))  # corners of 70 and 110 degrees
    _, cosine = rectangle_planes(projected(slanted, 50, 1.2)[None], WIDTH, HEIGHT, 1.2)
    assert abs(cosine[0]) == pytest.approx(np.cos(np.radians(70)), abs=1e-6)


def elevation_of(pixels, focal_length_35mm=50):
    height, width = pixels.shape[:2]
    segments = find_line_segments(pixels)
    return measure_camera_elevation([], width, height, focal_length_35mm, segments)


@pytest.mark.parametrize("deg", [25, 40, 60])
@pytest.mark.parametrize("spin_deg", [8, 30])
def test_the_elevation_of_a_drawn_board_is_recovered(deg, spin_deg):
    elevation = elevation_of(draw_board(Shot(deg), 0.5, 0.35, spin_deg=spin_deg))
    assert elevation.value.deg == pytest.approx(deg, abs=2.0)
    assert elevation.value.ellipses == ()
    assert elevation.value.tilts == ()  # its sides are too short for an accurate roll
    (corners, *_) = elevation.value.rectangles
    assert len(corners) == 4


def test_a_board_that_leaves_the_frame_is_enough():
    elevation = elevation_of(draw_board(Shot(45), 0.5, 0.35, spin_deg=25, at=(0.3, 0.5)))
    assert elevation.value.deg == pytest.approx(45, abs=3.0)
    xs = [corner.x for corner in elevation.value.rectangles[0]]
    assert min(xs) < 0 or max(xs) > 1


def test_a_parallelogram_gives_no_value():
    assert elevation_of(draw_board(Shot(60), 0.5, 0.35, spin_deg=8, skew=0.5)).value is None


@pytest.mark.parametrize("turn_deg", [0.0, 0.5, 2.0, 5.0])
def test_what_faces_the_camera_is_no_board(turn_deg):
    # A picture on the wall, a window, a print in a collage look like a board seen from overhead.
    frame = np.full((600, 900, 3), 240, dtype=np.uint8)
    frame[100:500, 200:700] = (90, 60, 50)
    turned_frame = Image.fromarray(frame).rotate(turn_deg, fillcolor=(240, 240, 240))
    assert elevation_of(np.asarray(turned_frame)).reason is Reason.NO_ROUND_RIM


def test_a_board_seen_from_overhead_gives_no_value():
    assert elevation_of(draw_board(Shot(85), 0.5, 0.35, spin_deg=8)).value is None


def test_a_rolled_camera_gives_the_same():
    elevation = elevation_of(draw_board(Shot(45, roll_deg=6), 0.5, 0.35, spin_deg=15))
    assert elevation.value.deg == pytest.approx(45, abs=2.0)


@pytest.mark.parametrize("name", ["gravel", "grass"])
def test_textures_hold_no_board(name):
    assert elevation_of(np.stack([getattr(data, name)()] * 3, axis=-1)).value is None


def test_focal_length_is_that_of_the_full_frame():
    # A focal length equal to the diagonal has a diagonal angle of view of 2 arctan(1/2) = 53.1
    # degrees.
    assert Shot(45, FULL_FRAME_DIAGONAL_MM).focal_px == pytest.approx(np.hypot(768, 576))


def test_a_crop_widens_the_error_of_a_board():
    pixels = draw_board(Shot(45), 0.45, 0.35, spin_deg=20)
    whole, cropped = elevation_of(pixels), elevation_of(pixels[24:-24])  # 4:3, then 16:11
    assert cropped.value.rectangles
    assert cropped.value.cropped_from == "3:2"
    assert cropped.spread > whole.spread
    assert cropped.confidence < whole.confidence
