"""Techniques seen in the picture itself, drawn and recovered: mirror, triangle, inner frame."""

import dataclasses
import math

import numpy as np
import pytest
from skimage.draw import disk

from auditor.geometry import Point, describe_mask
from auditor.measurements.technique_fit import TECHNIQUES, UNSEEN, measure_technique_fit
from auditor.quantity import Quantity
from auditor.reasons import Reason
from tests.factories import region

SIZES = [(600, 400), (400, 500), (450, 450)]
SAGE, RUST = (150, 160, 140), (176, 82, 31)


def table(width, height, discs=(), colour=(196, 190, 180), seed=3):
    """A grainy ground with discs at (x, y, radius over the short side, colour)."""
    noise = np.random.default_rng(seed).normal(0, 4, (height, width, 1))
    pixels = np.full((height, width, 3), colour, dtype=np.float64) + noise
    for x, y, radius, filled in discs:
        rows, columns = disk(
            (y * height, x * width), radius * min(width, height), shape=(height, width)
        )
        pixels[rows, columns] = filled
    return np.clip(pixels, 0, 255).astype(np.uint8)


def sure(thing, confidence=0.9):
    return Quantity.measured(thing, confidence=confidence, tolerance=0.05)


def fits(pixels, subject, elements=(), labels=None):
    height, width = pixels.shape[:2]
    labels = np.zeros((height // 2, width // 2), np.int32) if labels is None else labels
    return measure_technique_fit(pixels, sure(subject), [sure(e) for e in elements], labels)


MIRRORED = ((0.5, 0.5, 0.22, RUST), (0.15, 0.25, 0.08, SAGE), (0.85, 0.25, 0.08, SAGE))
LOPSIDED = ((0.5, 0.5, 0.15, RUST), (0.2, 0.25, 0.15, (60, 70, 50)), (0.25, 0.8, 0.12, SAGE))


@pytest.mark.parametrize("size", SIZES)
def test_a_mirrored_picture_is_symmetrical_and_a_lopsided_one_is_not(size):
    centre = region(0.5, 0.5, 0.15)
    assert fits(table(*size, MIRRORED), centre)["symmetry"].fit > 0.85
    assert not fits(table(*size, LOPSIDED), centre)["symmetry"].is_there


def test_symmetry_forgives_a_small_shift_and_not_a_large_one():
    def fit(x):
        discs = ((x, 0.5, 0.22, RUST), (0.15, 0.25, 0.08, SAGE), (0.85, 0.25, 0.08, SAGE))
        return fits(table(600, 400, discs), region(x, 0.5, 0.15))["symmetry"].fit

    assert fit(0.505) > 0.75
    assert fit(0.5) >= fit(0.52) > fit(0.56) > fit(0.62)
    assert fit(0.62) < 0.2


@pytest.mark.parametrize("fall_off", [0.5, 1.0])
def test_symmetry_sees_through_a_fall_off_of_the_light(fall_off):
    pixels = table(600, 400, MIRRORED)
    stops = np.linspace(0, -fall_off, 600)[np.newaxis, :, np.newaxis]
    # An sRGB value falls by about 2 to the power of stops / 2.2 (gamma 2.2, IEC 61966-2-1).
    darkened = (pixels * 2 ** (stops / 2.2)).astype(np.uint8)
    assert fits(darkened, region(0.5, 0.5, 0.15))["symmetry"].fit > 0.6


def test_colour_breaks_a_symmetry_of_tones():
    # Equal CIELAB lightness of about 50: a red and a green side by side.
    red, green = (193, 78, 69), (54, 134, 66)
    discs = ((0.25, 0.5, 0.25, red), (0.75, 0.5, 0.25, green))
    alike = ((0.25, 0.5, 0.25, red), (0.75, 0.5, 0.25, red))
    centre = region(0.5, 0.5, 0.3)
    assert fits(table(600, 400, discs), centre)["symmetry"].fit < 0.3
    assert fits(table(600, 400, alike), centre)["symmetry"].fit > 0.85


def test_an_empty_picture_and_a_level_horizon_are_no_symmetry():
    empty = table(600, 400)
    assert "symmetry" not in fits(empty, region(0.5, 0.5, 0.1))
    empty[:150] //= 2
    assert "symmetry" not in fits(empty, region(0.5, 0.5, 0.1))


def test_without_a_subject_nothing_is_fitted():
    nothing = Quantity.undetermined(Reason.NO_SUBJECT)
    labels = np.zeros((40, 60), np.int32)
    assert measure_technique_fit(table(600, 400, MIRRORED), nothing, [], labels) == {}


def test_what_is_left_out_has_its_reason():
    found = fits(table(600, 400), region(0.5, 0.5, 0.1))
    assert set(TECHNIQUES) - set(found) == set(UNSEEN)


def triangle_of(points, size=(600, 400)):
    first, *others = (region(x, y, 0.05) for x, y in points)
    return fits(table(*size), first, others).get("triangle arrangement")


@pytest.mark.parametrize("size", SIZES)
def test_three_things_make_a_triangle(size):
    points = [(0.5, 0.3), (0.3, 0.7), (0.7, 0.7)]
    fit = triangle_of(points, size)
    assert fit.fit > 0.8
    assert set(fit.outline) == {Point(*p) for p in points}
    assert fit.distance == 0
    assert fit.point == pytest.approx((0.5, 1.7 / 3))
    assert fit.confidence == pytest.approx(0.9**3)


@pytest.mark.parametrize(
    "points",
    [
        [(0.2, 0.3), (0.5, 0.5), (0.8, 0.72)],  # in a row
        [(0.5, 0.5), (0.52, 0.56), (0.56, 0.5)],  # huddled
        [(0.3, 0.3), (0.7, 0.3), (0.7, 0.7), (0.3, 0.7)],  # four corners
    ],
)
def test_a_row_a_huddle_and_a_square_are_no_triangle(points):
    assert triangle_of(points).fit < 0.5


def test_two_things_make_no_triangle_and_crumbs_do_not_count():
    assert triangle_of([(0.5, 0.3), (0.3, 0.7)]) is None
    crumbs = [region(0.3, 0.7, 0.05), region(0.7, 0.7, 0.001)]
    found = fits(table(600, 400), region(0.5, 0.3, 0.05), crumbs)
    assert "triangle arrangement" not in found


@pytest.mark.parametrize("turn_deg", range(0, 360, 30))
def test_a_triangle_may_be_turned(turn_deg):
    corners = [turn_deg + 120 * k for k in range(3)]
    points = [
        (0.5 + 0.25 * math.cos(math.radians(a)), 0.5 + 0.25 * math.sin(math.radians(a)))
        for a in corners
    ]
    assert triangle_of(points, (450, 450)).fit > 0.9


def test_the_flattest_corner_says_how_far_it_is_off():
    # Base 0.6 of 450 px, height must be 0.35 of it: 0.21; it is 0.1, so 0.11 of 450 px short.
    fit = triangle_of([(0.5, 0.4), (0.2, 0.5), (0.8, 0.5)], (450, 450))
    assert fit.distance == pytest.approx(0.11 / math.sqrt(2))


def framed(sides, tone=(30, 26, 22), size=(600, 400), at=(0.5, 0.52)):
    """A dish on a pale table closed in on some sides by bars an eighth of the frame wide."""
    width, height = size
    pixels = table(width, height, [(*at, 0.2, RUST)])
    across, down = width // 8, height // 8
    bars = {
        "left": np.s_[:, :across],
        "right": np.s_[:, -across:],
        "top": np.s_[:down],
        "bottom": np.s_[-down:],
    }
    for side in sides:
        pixels[bars[side]] = tone
    dish = np.zeros((height, width), np.bool_)
    dish[disk((at[1] * height, at[0] * width), 0.2 * min(size), shape=(height, width))] = True
    return pixels, describe_mask(dish), bars


ALL = ("left", "right", "top", "bottom")


@pytest.mark.parametrize("size", SIZES)
@pytest.mark.parametrize("sides", [ALL, ALL[:3], ALL[1:]])
def test_a_dark_surround_on_three_sides_is_a_frame(size, sides):
    pixels, dish, _ = framed(sides, size=size)
    fit = fits(pixels, dish)["frame within a frame"]
    assert fit.fit > 0.8
    corners = {
        "left": fit.outline[0].x,
        "right": 1 - fit.outline[1].x,
        "top": fit.outline[0].y,
        "bottom": 1 - fit.outline[2].y,
    }
    for side, depth in corners.items():
        assert depth == pytest.approx(0.125 if side in sides else 0, abs=0.02)


def test_a_light_surround_is_a_frame_too():
    pixels, dish, _ = framed(ALL)
    assert "frame within a frame" in fits(255 - pixels, dish)


def test_things_cut_off_by_the_edge_are_a_frame():
    # In the tone of the table: only that they are things tells them.
    pixels, dish, bars = framed(())
    labels = np.zeros(pixels.shape[:2], np.int32)
    for number, side in enumerate(ALL[:3], start=1):
        labels[bars[side]] = number
    assert "frame within a frame" in fits(pixels, dish, labels=labels)
    assert "frame within a frame" not in fits(pixels, dish)


@pytest.mark.parametrize("sides", [(), ALL[:1], ALL[:2], ALL[2:]])
def test_two_sides_are_no_frame(sides):
    pixels, dish, _ = framed(sides)
    assert "frame within a frame" not in fits(pixels, dish)


def test_a_vignette_is_no_frame():
    pixels, dish, _ = framed(())
    y, x = np.mgrid[-1:1:400j, -1:1:600j]
    darkened = pixels * np.clip(1 - 0.4 * (x**2 + y**2), 0, 1)[..., np.newaxis]
    assert "frame within a frame" not in fits(darkened.astype(np.uint8), dish)


def test_mirroring_mirrors_every_answer():
    pixels, dish, _ = framed(ALL[:3], at=(0.4, 0.52))
    elements = [region(0.25, 0.3, 0.03), region(0.75, 0.25, 0.02)]
    one = fits(pixels, dish, elements)

    def turned(thing):
        box = thing.bbox
        return dataclasses.replace(
            thing,
            centroid=Point(1 - thing.centroid.x, thing.centroid.y),
            bbox=box._replace(left=1 - box.right, right=1 - box.left),
        )

    other = fits(np.ascontiguousarray(pixels[:, ::-1]), turned(dish), [turned(e) for e in elements])
    assert set(one) == set(other) == set(TECHNIQUES)
    for name in TECHNIQUES:
        assert other[name].distance == pytest.approx(one[name].distance, abs=0.005)
        if one[name].fit is not None:
            assert other[name].fit == pytest.approx(one[name].fit, abs=0.02)
        if name not in {"golden triangles", "rule of thirds"}:  # two points may be equally near
            assert other[name].point.x == pytest.approx(1 - one[name].point.x, abs=0.01)
            assert other[name].point.y == pytest.approx(one[name].point.y, abs=0.01)
