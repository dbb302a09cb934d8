"""Roll from uprights: recovered from drawn rooms seen through a pinhole; none from overhead."""

import math

import numpy as np
import pytest
from PIL import Image, ImageDraw, ImageFilter

from auditor.geometry import Ellipse, Point
from auditor.line_segments import find_line_segments
from auditor.measurements.roll import measure_roll
from auditor.measurements.roll.uprights import find_zenith, tilt_of_uprights
from auditor.reasons import Reason

WIDTH, HEIGHT = 960, 720
FOCAL_LENGTH = 2.0  # half diagonals: a lens of 43 mm
HALF_DIAGONAL = math.hypot(WIDTH, HEIGHT) / 2
OVERSAMPLING = 2


def seen(point, pitch_deg, roll_deg):
    """Pixel of a point (right, up, away) for a camera that looks down and is rolled clockwise."""
    right, up, away = point
    pitch, roll = math.radians(pitch_deg), math.radians(roll_deg)
    depth = away * math.cos(pitch) - up * math.sin(pitch)
    x = right / depth
    y = -(up * math.cos(pitch) + away * math.sin(pitch)) / depth
    scale = FOCAL_LENGTH * HALF_DIAGONAL
    turned_x = x * math.cos(roll) + y * math.sin(roll)
    turned_y = y * math.cos(roll) - x * math.sin(roll)
    return (
        OVERSAMPLING * (WIDTH / 2 + scale * turned_x),
        OVERSAMPLING * (HEIGHT / 2 + scale * turned_y),
    )


def drawn(faces, pitch_deg, roll_deg, seed=0):
    """Draw faces (corners, grey) in order, with grain."""
    image = Image.new("L", (OVERSAMPLING * WIDTH, OVERSAMPLING * HEIGHT), 150)
    draw = ImageDraw.Draw(image)
    for corners, grey in faces:
        draw.polygon([seen(corner, pitch_deg, roll_deg) for corner in corners], fill=grey)
    image = image.resize((WIDTH, HEIGHT), Image.Resampling.BOX)
    image = image.filter(ImageFilter.GaussianBlur(0.7))
    pixels = np.repeat(np.asarray(image, dtype=float)[..., np.newaxis], 3, axis=2)
    pixels += np.random.default_rng(seed).normal(0, 3, pixels.shape)
    return np.clip(np.round(pixels), 0, 255).astype(np.uint8)


def boards(pitch_deg):
    """Upright boards at several depths, around the point that the camera looks at."""
    faces = []
    places = [(-1.9, 6.5, 40), (-0.9, 5.2, 80), (0.2, 6.0, 230), (1.1, 5.0, 110)]
    for x, away, grey in places:
        up = -away * math.tan(math.radians(pitch_deg))
        corners = [(x, up - 0.8), (x + 0.45, up - 0.8), (x + 0.45, up + 0.8), (x, up + 0.8)]
        faces.append(([(right, high, away) for right, high in corners], grey))
    return faces


def floor_boards():
    """Stripes that recede into the depth on the floor, one unit below the camera."""
    return [
        ([(x, -1, 1.2), (x + 0.2, -1, 1.2), (x + 0.2, -1, 30), (x, -1, 30)], 90)
        for x in np.arange(-4, 4, 0.4)
    ]


@pytest.mark.parametrize("roll_deg", [-7.0, -4.0, -1.2, 0.0, 0.7, 3.0, 6.0])
@pytest.mark.parametrize("pitch_deg", [-20.0, 0.0, 15.0, 30.0])
def test_the_roll_is_recovered_from_uprights_seen_through_a_pinhole(pitch_deg, roll_deg):
    quantity = measure_roll(drawn(boards(pitch_deg), pitch_deg, roll_deg), (), None)
    assert quantity.value.deg == pytest.approx(roll_deg, abs=0.4)
    assert quantity.confidence > 0.7
    assert quantity.spread < 0.7


@pytest.mark.parametrize("pitch_deg", [-15.0, 0.0, 25.0])
def test_the_convergence_follows_from_the_pitch(pitch_deg):
    zenith = find_zenith(find_line_segments(drawn(boards(pitch_deg), pitch_deg, 2.0)))
    expected = math.tan(math.radians(pitch_deg)) / FOCAL_LENGTH
    assert zenith.convergence == pytest.approx(expected, abs=0.03)


def test_lines_that_recede_into_the_depth_do_not_deny_the_uprights():
    pixels = drawn([*floor_boards()[::4], *boards(5.0)], 5.0, -3.0)
    assert measure_roll(pixels, (), None).value.deg == pytest.approx(-3.0, abs=0.5)


@pytest.mark.parametrize("roll_deg", [-4.0, 2.5])
def test_a_mirrored_picture_rolls_the_other_way(roll_deg):
    pixels = drawn(boards(12.0), 12.0, roll_deg)
    here = find_zenith(find_line_segments(pixels))
    mirrored = find_zenith(find_line_segments(np.ascontiguousarray(pixels[:, ::-1])))
    assert mirrored.roll_deg == pytest.approx(-here.roll_deg, abs=0.01)
    assert mirrored.convergence == pytest.approx(here.convergence, abs=0.001)
    assert mirrored.n_lines == here.n_lines


def test_more_uprights_are_more_certain():
    def chance(faces):
        return tilt_of_uprights(find_line_segments(drawn(faces, 0.0, 1.0)), None).chance

    three, four = boards(0.0)[:3], boards(0.0)
    assert chance(three) < chance(four)


def test_things_that_lean_lower_the_certainty():
    leaning = [
        ([(x, -0.9, 4), (x + 0.2, -0.9, 4), (x + 0.8, 0.9, 4), (x + 0.6, 0.9, 4)], 200)
        for x in (-1.2, -0.2)
    ]
    alone = find_zenith(find_line_segments(drawn(boards(0.0), 0.0, 0.0)))
    both = find_zenith(find_line_segments(drawn([*boards(0.0), *leaning], 0.0, 0.0)))
    assert both.agreement < alone.agreement - 0.2
    assert both.roll_deg == pytest.approx(alone.roll_deg, abs=0.4)


def patterned_cloth(turn_deg):
    """A checked cloth from straight above."""
    image = Image.new("L", (2 * WIDTH, 2 * WIDTH), 200)
    draw = ImageDraw.Draw(image)
    for x in range(0, 2 * WIDTH, 90):
        draw.rectangle((x, 0, x + 44, 2 * WIDTH), fill=120)
    for y in range(0, 2 * WIDTH, 120):
        draw.rectangle((0, y, 2 * WIDTH, y + 18), fill=90)
    turned = image.rotate(turn_deg, Image.Resampling.BICUBIC)
    left, top = WIDTH - WIDTH // 2, WIDTH - HEIGHT // 2
    pixels = np.asarray(turned.crop((left, top, left + WIDTH, top + HEIGHT)))
    return np.repeat(pixels[..., np.newaxis], 3, axis=2)


@pytest.mark.parametrize("turn_deg", [-3.0, 0.0, 2.0, 6.0])
@pytest.mark.parametrize("elevation_deg", [50.0, 75.0, 90.0])
def test_a_patterned_cloth_from_above_has_no_roll(turn_deg, elevation_deg):
    quantity = measure_roll(patterned_cloth(turn_deg), (), elevation_deg)
    assert quantity.reason is Reason.NO_LEVEL_LINE


@pytest.mark.parametrize("pitch_deg", [35.0, 50.0])
def test_floor_boards_are_no_uprights_at_a_known_elevation(pitch_deg):
    # They converge upwards, as uprights would for a camera that looks up.
    pixels = drawn(floor_boards(), pitch_deg, 0.0)
    assert measure_roll(pixels, (), pitch_deg).reason is Reason.NO_LEVEL_LINE


def test_an_elevation_from_small_rims_does_not_deny_uprights():
    wheel, dish = (Ellipse(Point(0.5, 0.9), (a, 0.9 * a), 0.0) for a in (0.05, 0.2))
    pixels = drawn(boards(0.0), 0.0, 2.0)
    assert measure_roll(pixels, [wheel], 60.0).value.deg == pytest.approx(2.0, abs=0.4)
    assert measure_roll(pixels, [dish], 60.0).reason is Reason.NO_LEVEL_LINE


def test_a_tray_and_a_knife_from_above_are_too_few_lines():
    image = Image.new("L", (WIDTH, HEIGHT), 190)
    draw = ImageDraw.Draw(image)
    draw.rectangle((150, 60, 620, 660), fill=80)
    draw.rectangle((760, 120, 790, 600), fill=230)
    pixels = np.repeat(np.asarray(image)[..., np.newaxis], 3, axis=2)
    assert measure_roll(pixels, (), None).reason is Reason.NO_LEVEL_LINE


def test_without_lines_there_is_no_zenith():
    assert find_zenith(find_line_segments(np.full((300, 400, 3), 90, np.uint8))) is None
