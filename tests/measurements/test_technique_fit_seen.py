"""Techniques measured on the picture itself, drawn and recovered: mirror, triangle, inner frame."""

import dataclasses
import math

import numpy as np
import pytest
from skimage.draw import disk

from auditor.geometry import Box, Point, Region, describe_mask
from auditor.measurements.technique_fit import MISSING_REASONS, fit_triangle, measure_technique_fit
from auditor.measurements.technique_fit.inner_frame import _side
from auditor.measurements.technique_fit.mirror_symmetry import mirror_likeness, symmetry_fit
from auditor.quantity import Quantity
from auditor.reasons import Reason
from auditor.vocabulary.techniques import TECHNIQUES
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


def test_symmetry_tolerates_a_small_shift_and_not_a_large_one():
    def fit(x):
        discs = ((x, 0.5, 0.22, RUST), (0.15, 0.25, 0.08, SAGE), (0.85, 0.25, 0.08, SAGE))
        return fits(table(600, 400, discs), region(x, 0.5, 0.15))["symmetry"].fit

    assert fit(0.505) > 0.75
    assert fit(0.5) >= fit(0.52) > fit(0.56) > fit(0.62)
    assert fit(0.62) < 0.2


@pytest.mark.parametrize("fall_off", [0.5, 1.0])
def test_symmetry_ignores_a_fall_off_of_the_light(fall_off):
    pixels = table(600, 400, MIRRORED)
    stops = np.linspace(0, -fall_off, 600)[np.newaxis, :, np.newaxis]
    # An sRGB value changes by about 2 to the power of stops / 2.2 (gamma 2.2, IEC 61966-2-1).
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


def test_every_missing_technique_has_a_reason():
    found = fits(table(600, 400), region(0.5, 0.5, 0.1))
    assert set(TECHNIQUES) - set(found) == set(MISSING_REASONS)
    assert list(found) == [name for name in TECHNIQUES if name in found]


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
        [(0.5, 0.5), (0.52, 0.56), (0.56, 0.5)],  # close together
        [(0.3, 0.3), (0.7, 0.3), (0.7, 0.7), (0.3, 0.7)],  # four corners
    ],
)
def test_a_row_a_tight_group_and_a_square_are_no_triangle(points):
    assert triangle_of(points).fit < 0.5


def test_corners_of_a_pentagon_are_no_triangle_and_a_dent_is():
    def ring(n):
        turns = [math.radians(90 + 360 / n * k) for k in range(n)]
        return [(0.5 + 0.3 * math.cos(t), 0.5 - 0.3 * math.sin(t)) for t in turns]

    # The largest triangle in a regular pentagon is 1 / sqrt 5 of it, and the fit half of that.
    pentagon = ring(5)
    assert triangle_of(pentagon, (450, 450)).fit == pytest.approx(0.2236, abs=1e-4)
    corners = ring(3)
    inside = (0.5, 0.5)
    assert triangle_of([*corners, inside], (450, 450)).fit > 0.9


def test_the_confidence_of_a_triangle_is_that_of_its_own_corners():
    # A thing in the middle and a crumb at a corner's place are no corners.
    things = [(0.5, 0.5, 0.06, 0.5), (0.3, 0.7, 0.001, 0.2), (0.3, 0.7, 0.05, 0.8)]
    things.append((0.7, 0.7, 0.05, 0.7))
    elements = [sure(region(x, y, area), confidence) for x, y, area, confidence in things]
    fit = fit_triangle(sure(region(0.5, 0.3, 0.05)), elements, 600, 400)
    assert fit.outline == (Point(0.5, 0.3), Point(0.3, 0.7), Point(0.7, 0.7))
    assert fit.confidence == pytest.approx(0.9 * 0.8 * 0.7)


@pytest.mark.parametrize("points", [[(0.5, 0.5)] * 3, [(0.2, 0.2), (0.5, 0.5), (0.5, 0.5)]])
def test_coinciding_things_are_no_triangle(points):
    assert triangle_of(points).fit == 0


def test_the_fit_of_a_triangle_follows_from_its_height_and_area():
    # A base of 0.6 and a height of 0.28 of a square: 0.467 of the base is 1.33 times the minimum
    # height, 0.084 of the frame is 2.1 times the minimum area.
    fit = triangle_of([(0.5, 0.3), (0.2, 0.58), (0.8, 0.58)], (450, 450))
    assert fit.fit == pytest.approx(0.5 + 0.5 * (0.28 / 0.6 / 0.35 - 1), abs=1e-6)
    # A third of that size: a ninth of the area, 0.233 of the minimum.
    small = triangle_of([(0.5, 0.3), (0.4, 0.3 + 0.28 / 3), (0.6, 0.3 + 0.28 / 3)], (450, 450))
    assert small.fit == pytest.approx(0.5 * 0.084 / 9 / 0.04, abs=1e-6)


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


def test_the_distance_of_a_flat_triangle_is_the_height_it_lacks():
    # Base 0.6 of 450 px, height must be 0.35 of it: 0.21; it is 0.1, so 0.11 of 450 px short.
    fit = triangle_of([(0.5, 0.4), (0.2, 0.5), (0.8, 0.5)], (450, 450))
    assert fit.distance == pytest.approx(0.11 / math.sqrt(2))


def framed(sides, tone=(30, 26, 22), size=(600, 400), at=(0.5, 0.52)):
    """A dish on a pale table enclosed on some sides by bars an eighth of the frame wide."""
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


def test_an_open_side_is_open_to_the_edge_of_the_picture():
    # On the right a thing closes a third of the rays, so the side stays open.
    pixels, dish, _ = framed(("left", "top", "bottom"))
    pixels[190:240, -75:] = (30, 26, 22)
    fit = fits(pixels, dish)["frame within a frame"]
    assert fit.outline[1].x == 1
    assert fit.point.x == pytest.approx((0.125 + 1) / 2, abs=0.01)


def test_darker_on_one_side_and_lighter_on_the_other_is_no_frame():
    pixels, dish, bars = framed(ALL[:3], tone=(100, 96, 90))
    table_tone = pixels[200, 100]
    pixels[:] = np.where(pixels == (100, 96, 90), (250, 250, 250), pixels // 2 + 20)
    assert "frame within a frame" in fits(pixels, dish)
    pixels[bars["left"]] = 0
    assert table_tone.max() < 250
    assert "frame within a frame" not in fits(pixels, dish)


def test_a_faint_tone_is_no_frame():
    # CIELAB lightness of the table about 77; a step of 10 on three sides.
    pixels, dish, _ = framed(ALL, tone=(168, 162, 152))
    assert "frame within a frame" not in fits(pixels, dish)


def test_a_light_surround_is_a_frame_too():
    pixels, dish, _ = framed(ALL)
    assert "frame within a frame" in fits(255 - pixels, dish)


def test_things_cut_off_by_the_edge_are_a_frame():
    # They have the tone of the table, so only the labels show them.
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


def test_mirroring_mirrors_every_result():
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


# Each rule of an inner frame on its own: one side of 96 rays by 96 px, the subject 60 px away.
GROUND = 60.0


def side(step=-40.0, depth=20, share=1.0, ramp=0, reach=0.625, things=0.0, thing_depth=20):
    lightness = np.full((96, 96), GROUND, np.float32)
    n_rays = round(96 * share)
    lightness[:n_rays, :depth] += step
    if ramp:
        lightness[:n_rays, depth : depth + ramp] += step * (1 - np.arange(1, ramp + 1) / ramp)
    placed = np.zeros((96, 96), np.bool_)
    placed[96 - round(96 * things) :, :thing_depth] = True
    return _side(lightness, placed, reach, (0.0, 1.0))


@pytest.mark.parametrize(
    ("passes", "fails"),
    [
        ({"step": -26.0}, {"step": -24.0}),
        ({"step": 26.0}, {"step": 24.0}),
        ({"depth": 38}, {"depth": 39}),  # two fifths of 96 are 38.4
        ({"share": 0.62}, {"share": 0.58}),
        # Half of a ramp of 11 px and three more are 0.77 of it, of 14 px 0.71.
        ({"ramp": 11}, {"ramp": 14}),
        ({"share": 0.0, "things": 0.62}, {"share": 0.0, "things": 0.58}),
        # A fiftieth of 96 px between a thing and the subject, 30 px away.
        (
            {"share": 0.0, "things": 1.0, "reach": 0.3125, "thing_depth": 28},
            {"share": 0.0, "things": 1.0, "reach": 0.3125, "thing_depth": 29},
        ),
    ],
)
def test_each_rule_of_a_closed_side(passes, fails):
    assert side().is_closed
    assert side(**passes).is_closed
    assert not side(**fails).is_closed


def test_a_side_of_things_has_no_tone():
    assert side().tone == -1
    assert side(step=40.0).tone == 1
    assert side(share=0.72, things=0.28).tone == -1
    assert side(share=0.68, things=0.32).tone == 0


def test_depth_is_a_fraction_of_the_picture():
    assert side(depth=24).depth == pytest.approx(0.25)


@pytest.mark.parametrize(("half", "is_frame"), [(0.39, True), (0.41, False)])
def test_a_subject_across_the_picture_leaves_no_room_for_a_frame(half, is_frame):
    pixels = table(600, 400)
    pixels[:20], pixels[-20:], pixels[:, :30], pixels[:, -30:] = (20,) * 4
    subject = Region(Point(0.5, 0.5), Box(0.5 - half, 0.3, 0.5 + half, 0.7), 0.3)
    assert ("frame within a frame" in fits(pixels, subject)) == is_frame


@pytest.mark.parametrize(
    ("likeness", "fit"), [(1, 1), (0.875, 0.75), (0.75, 0.5), (0.625, 0.25), (0.5, 0), (-1, 0)]
)
def test_scale_of_symmetry_by_hand(likeness, fit):
    assert symmetry_fit(likeness) == pytest.approx(fit)


@pytest.mark.parametrize(("other_grey", "is_empty"), [(132, True), (138, False)])
def test_a_picture_that_varies_by_less_than_3_in_lightness_is_empty(other_grey, is_empty):
    # Equal shares of two greys vary by half of their difference: CIELAB lightness of sRGB 120 is
    # 50.43, of 132 55.14, of 138 57.47 (IEC 61966-2-1, CIE 15), so by 2.4 and 3.5.
    stripes = np.where((np.arange(48) // 4) % 2, other_grey, 120)
    pixels = np.broadcast_to(stripes[np.newaxis, :, np.newaxis], (32, 48, 3)).astype(np.uint8)
    assert (mirror_likeness(pixels) is None) == is_empty


def test_a_thing_of_a_tenth_of_the_subject_is_a_corner():
    def is_there(share):
        small = region(0.7, 0.7, 0.05 * share)
        found = fits(table(600, 400), region(0.5, 0.3, 0.05), [region(0.3, 0.7, 0.05), small])
        return "triangle arrangement" in found

    assert is_there(0.105)
    assert not is_there(0.095)


def test_the_sixth_element_makes_no_corner():
    # Five in a row with the subject, and a sixth, the smallest, far from it.
    places = [region(0.1 + 0.1 * k, 0.5, 0.02) for k in range(6)]
    far = region(0.4, 0.9, 0.01)
    assert fits(table(600, 400), places[0], [*places[1:], far])["triangle arrangement"].fit == 0
    assert fits(table(600, 400), places[0], [*places[1:5], far])["triangle arrangement"].fit > 0.5
