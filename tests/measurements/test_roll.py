"""Roll: recovered from drawn tables and glasses turned by known angles; none without cues."""

import math

import numpy as np
import pytest
from PIL import Image, ImageDraw, ImageFilter

from auditor.geometry import Ellipse, Point, Tilt
from auditor.measurements.camera_elevation import measure_camera_elevation
from auditor.measurements.rims import find_rims
from auditor.measurements.roll import measure_roll
from auditor.reasons import Reason
from tests.measurements.drawn_dishes import Shot, draw

SIDE = 900
LEVEL_ENOUGH_DEG = 15.0  # elevation of a camera that sees the far edge of the table
OVERHEAD_DEG = 88.0


def blank(grey=170):
    image = Image.new("L", (2 * SIDE, 2 * SIDE), grey)
    return image, ImageDraw.Draw(image)


def finish(image, roll_deg=0.0, seed=0):
    """Turn the picture counter-clockwise, cut out its middle, add grain."""
    turned = image.rotate(roll_deg, Image.Resampling.BICUBIC)
    turned = turned.crop((SIDE // 2, SIDE // 2, 3 * SIDE // 2, 3 * SIDE // 2))
    pixels = np.repeat(np.asarray(turned, dtype=float)[..., np.newaxis], 3, axis=2)
    pixels = pixels + np.random.default_rng(seed).normal(0, 3, pixels.shape)
    return np.clip(np.round(pixels), 0, 255).astype(np.uint8)


def table_with_glasses(converging_deg=0.0):
    """A wall, a table, and glasses whose sides diverge by an angle at the frame's sides."""
    image, draw = blank()
    draw.rectangle((0, SIDE * 0.9, 2 * SIDE, 2 * SIDE), fill=81)
    for x in (-280, -60, 230):
        edges = []
        for side in (x - 35, x + 35):
            lean = math.tan(math.radians(converging_deg * side / (SIDE / 2)))
            edges += [
                (SIDE + side + 120 * lean, SIDE - 120),
                (SIDE + side - 120 * lean, SIDE + 120),
            ]
        draw.polygon([edges[0], edges[2], edges[3], edges[1]], fill=220)
    return image


def glasses_only(converging_deg=0.0):
    image, draw = blank()
    for x in (-300, 300):
        for side in (x - 40, x + 40):
            lean = math.tan(math.radians(converging_deg * side / (SIDE / 2)))
            draw.line(
                [(SIDE + side + 200 * lean, SIDE - 200), (SIDE + side - 200 * lean, SIDE + 200)],
                fill=60,
                width=9,
            )
    return image


@pytest.mark.parametrize("roll_deg", [-5.0, -2.3, -0.6, 0.0, 0.4, 1.5, 3.1, 5.7])
def test_a_turned_table_is_recovered(roll_deg):
    quantity = measure_roll(finish(table_with_glasses(), roll_deg), (), LEVEL_ENOUGH_DEG)
    assert quantity.value.deg == pytest.approx(roll_deg, abs=0.3)
    assert quantity.confidence > 0.7
    assert quantity.tolerance == 1.0


def test_level_things_that_rise_to_the_right_are_positive():
    image, draw = blank()
    draw.polygon(
        [(0, SIDE + 60), (2 * SIDE, SIDE - 60), (2 * SIDE, 2 * SIDE), (0, 2 * SIDE)],
        fill=80,
    )
    expected = math.degrees(math.atan2(120, 2 * SIDE))
    quantity = measure_roll(finish(image), (), LEVEL_ENOUGH_DEG)
    assert quantity.value.deg == pytest.approx(expected, abs=0.1)
    # Without the camera elevation a lone line may be a board laid askew.
    assert measure_roll(finish(image), (), None).reason is Reason.NO_LEVEL_LINE


@pytest.mark.parametrize("turn_deg", [-4.0, -1.0, 2.5])
def test_turning_the_picture_turns_the_roll(turn_deg):
    image = table_with_glasses(converging_deg=3.0)
    before = measure_roll(finish(image, 1.0), (), LEVEL_ENOUGH_DEG).value.deg
    after = measure_roll(finish(image, 1.0 + turn_deg), (), LEVEL_ENOUGH_DEG).value.deg
    assert after - before == pytest.approx(turn_deg, abs=0.2)


def test_a_mirrored_picture_rolls_the_other_way():
    pixels = finish(table_with_glasses(), 2.0)
    mirrored = np.ascontiguousarray(pixels[:, ::-1])
    roll = measure_roll(pixels, (), LEVEL_ENOUGH_DEG).value.deg
    assert measure_roll(mirrored, (), LEVEL_ENOUGH_DEG).value.deg == pytest.approx(-roll, abs=0.1)


@pytest.mark.parametrize(
    ("converging_deg", "elevation_deg"),
    [(-8.0, None), (-4.0, None), (4.0, LEVEL_ENOUGH_DEG), (8.0, LEVEL_ENOUGH_DEG), (8.0, None)],
)
@pytest.mark.parametrize("roll_deg", [0.0, 1.5])
def test_converging_uprights_are_no_roll(converging_deg, elevation_deg, roll_deg):
    pixels = finish(glasses_only(converging_deg), roll_deg)
    assert measure_roll(pixels, (), elevation_deg).value.deg == pytest.approx(roll_deg, abs=0.5)


def test_a_knife_askew_does_not_bias_the_roll():
    image = table_with_glasses()
    ImageDraw.Draw(image).line([(SIDE - 300, SIDE + 320), (SIDE + 200, SIDE + 270)], 230, 14)
    value = measure_roll(finish(image, 0.8), (), LEVEL_ENOUGH_DEG).value
    assert value.deg == pytest.approx(0.8, abs=0.3)


def test_a_lone_line_from_overhead_is_not_used():
    image, draw = blank()
    draw.line([(0, SIDE), (2 * SIDE, SIDE)], fill=60, width=12)
    pixels = finish(image, 2.0)
    assert measure_roll(pixels, (), OVERHEAD_DEG).reason is Reason.NO_LEVEL_LINE
    assert measure_roll(pixels, (), LEVEL_ENOUGH_DEG).value.deg == pytest.approx(2.0, abs=0.2)


@pytest.mark.parametrize("turn_deg", [1.7, 9.0, 20.0])
def test_the_angle_of_a_board_from_overhead_is_not_roll(turn_deg):
    image, draw = blank()
    draw.rectangle((SIDE - 330, SIDE - 330, SIDE + 330, SIDE + 330), fill=70)
    quantity = measure_roll(finish(image, turn_deg), (), OVERHEAD_DEG)
    assert quantity.reason is Reason.NO_LEVEL_LINE


def test_level_and_upright_lines_that_agree_need_no_known_elevation():
    pixels = finish(table_with_glasses(), 2.5)
    assert measure_roll(pixels, (), None).value.deg == pytest.approx(2.5, abs=0.3)


@pytest.mark.parametrize("deg", [12.5, -13.0, 40.0, 170.0])
def test_no_roll_is_reported_beyond_the_maximum(deg):
    pixels = np.full((300, 300, 3), 128, dtype=np.uint8)
    readings = [Tilt(deg, 0.3, 0.95), Tilt(deg, 0.3, 0.95)]
    assert measure_roll(pixels, (), 30.0, tilts=readings).reason is Reason.NO_LEVEL_LINE


@pytest.mark.parametrize("lean_deg", [0.5, 2.0, 4.0])
def test_a_rim_seen_from_beyond_overhead_has_no_roll(lean_deg):
    # Its plane leans towards the camera; the direction has an azimuth, but is no roll.
    ratio = math.cos(math.radians(lean_deg))
    rim = Ellipse(Point(0.5, 0.5), (0.2, 0.2 * ratio), 85.0)
    elevation = measure_camera_elevation([(rim, 0.98, 0.0005)], 900, 600, 50.0).value
    pixels = np.full((300, 300, 3), 128, dtype=np.uint8)
    quantity = measure_roll(pixels, [rim], elevation.deg, tilts=elevation.tilts)
    assert quantity.reason is Reason.NO_LEVEL_LINE


def test_slanted_lines_and_even_pictures_have_no_roll():
    image, draw = blank()
    draw.line([(SIDE - 400, SIDE + 300), (SIDE + 400, SIDE - 300)], fill=50, width=12)
    assert measure_roll(finish(image), (), LEVEL_ENOUGH_DEG).reason is Reason.NO_LEVEL_LINE
    even = np.full((300, 300, 3), 128, dtype=np.uint8)
    assert measure_roll(even, (), None).reason is Reason.NO_LEVEL_LINE


def test_the_flat_arcs_of_a_dish_are_no_level_lines():
    image, draw = blank()
    draw.ellipse((SIDE - 380, SIDE - 120, SIDE + 380, SIDE + 120), fill=235)
    rim = Ellipse(Point(0.5, 0.5), (380 / SIDE / math.sqrt(2), 120 / SIDE / math.sqrt(2)), 0.0)
    turned = Ellipse(rim.centre, rim.semi_axes, 5.0)
    quantity = measure_roll(finish(image, 5.0), (turned,), LEVEL_ENOUGH_DEG)
    assert quantity.reason is Reason.NO_LEVEL_LINE


def roll_from_rims(shot, dishes, focal_length_35mm):
    pixels = draw(shot, dishes)
    height, width = pixels.shape[:2]
    found = find_rims(pixels)
    elevation = measure_camera_elevation(
        [(rim.ellipse, rim.support, rim.axis_ratio_error) for rim in found],
        width,
        height,
        focal_length_35mm,
    ).value
    ellipses = [rim.ellipse for rim in found]
    return measure_roll(pixels, ellipses, elevation.deg, tilts=elevation.tilts)


@pytest.mark.parametrize("roll_deg", [-8.0, -3.0, 0.0, 1.5, 6.0])
@pytest.mark.parametrize("deg", [15, 35, 50])
def test_the_roll_is_recovered_from_a_rim_drawn_through_a_pinhole(deg, roll_deg):
    # Away from the middle the ellipse of a level circle is tilted even under a level camera.
    shot = Shot(deg, 35, roll_deg=roll_deg)
    quantity = roll_from_rims(shot, [(0.3, 0.6, 0.15), (0.7, 0.55, 0.1)], 35)
    assert quantity.value.deg == pytest.approx(roll_deg, abs=0.5)


def test_a_rim_seen_from_overhead_has_no_tilt():
    quantity = roll_from_rims(Shot(90, roll_deg=5.0), [(0.4, 0.6, 0.15)], 50)
    assert quantity.reason is Reason.NO_LEVEL_LINE


def test_agreeing_readings_raise_confidence_and_outvote_a_stray():
    pixels = np.full((300, 300, 3), 128, dtype=np.uint8)
    one, two, stray = Tilt(3.0, 0.2, 0.7), Tilt(3.2, 0.2, 0.7), Tilt(-6.0, 0.2, 0.7)
    alone = measure_roll(pixels, (), 30.0, tilts=[one])
    agreeing = measure_roll(pixels, (), 30.0, tilts=[one, two])
    outvoted = measure_roll(pixels, (), 30.0, tilts=[one, two, stray])
    assert alone.value.deg == pytest.approx(3.0, abs=0.1)
    assert agreeing.value.deg == pytest.approx(3.1, abs=0.1)
    assert outvoted.value.deg == pytest.approx(3.1, abs=0.1)
    assert alone.confidence < outvoted.confidence < agreeing.confidence


def test_contradicting_or_vague_readings_give_no_roll():
    pixels = np.full((300, 300, 3), 128, dtype=np.uint8)
    contradicting = [Tilt(3.0, 0.2, 0.7), Tilt(-3.0, 0.2, 0.7)]
    assert measure_roll(pixels, (), 30.0, tilts=contradicting).reason is Reason.NO_LEVEL_LINE
    vague = [Tilt(3.0, 4.0, 0.9)]
    assert measure_roll(pixels, (), 30.0, tilts=vague).reason is Reason.NO_LEVEL_LINE


def test_disagreement_of_level_lines_lowers_confidence():
    def edge_of_a_table():
        image, draw = blank()
        draw.rectangle((0, SIDE * 0.9, 2 * SIDE, 2 * SIDE), fill=81)
        return image, draw

    agreeing = finish(edge_of_a_table()[0])
    image, draw = edge_of_a_table()
    for k in range(3):
        y = SIDE + 180 + 70 * k
        draw.line([(SIDE - 350, y + 30), (SIDE + 350, y - 30)], fill=190, width=10)
    mixed = measure_roll(finish(image), (), LEVEL_ENOUGH_DEG)
    clean = measure_roll(agreeing, (), LEVEL_ENOUGH_DEG)
    assert (mixed.confidence or 0) < clean.confidence - 0.1


def test_a_horizon_out_of_focus_is_still_measured():
    image, draw = blank()
    draw.rectangle((0, SIDE * 0.9, 2 * SIDE, 2 * SIDE), fill=90)
    pixels = finish(image.filter(ImageFilter.GaussianBlur(14)), -2.0)
    value = measure_roll(pixels, (), LEVEL_ENOUGH_DEG).value
    assert value.deg == pytest.approx(-2.0, abs=0.5)


def tilts_of(*rims):
    readings = [(rim, 0.95, 0.003) for rim in rims]
    return measure_camera_elevation(readings, 900, 900, 50.0).value.tilts


def test_small_rims_do_not_outvote_the_largest():
    large = Ellipse(Point(0.5, 0.5), (0.2, 0.14), 0.0)
    small = [Ellipse(Point(x, 0.5), (0.07, 0.05), -8.0) for x in (0.45, 0.55)]
    tilts = tilts_of(large, *small)
    assert len(tilts) == 3
    pixels = np.full((300, 300, 3), 128, dtype=np.uint8)
    value = measure_roll(pixels, (), 45.0, tilts=tilts).value
    assert value is None or value.deg == pytest.approx(tilts[0].deg, abs=0.5)


def test_a_rim_counts_by_its_size_and_its_agreement_with_the_largest():
    large = Ellipse(Point(0.5, 0.5), (0.2, 0.14), 0.0)
    half, quarter = (Ellipse(Point(0.5, 0.5), (a, 0.7 * a), 0.0) for a in (0.1, 0.05))
    askew = Ellipse(Point(0.5, 0.5), (0.1, 0.07), -8.0)
    first, second, third, fourth = (tilt.chance for tilt in tilts_of(large, half, quarter, askew))
    assert first > second > third
    assert second == pytest.approx(first / 2)
    assert fourth == pytest.approx(second / 2)
    assert tilts_of(askew)[0].chance == pytest.approx(first)
