"""Handles that lead to the subject, drawn and recovered, and the body that they point at."""

import math

import numpy as np
import pytest
from skimage.draw import disk, polygon

from auditor.geometry import Ellipse, Point, describe_mask
from auditor.line_segments import LineSegments, find_line_segments
from auditor.mask_axis import MaskAxis
from auditor.measurements.leading_lines import measure_leading_lines
from auditor.measurements.leading_lines.body import Body
from auditor.measurements.leading_lines.handles import leading_handles
from auditor.reasons import Reason
from tests.factories import region

WIDTH, HEIGHT = 600, 400
DIAGONAL = math.hypot(WIDTH, HEIGHT)
RADIUS = 90.0
TABLE = 150.0
TURNS_DEG = [0, 25, 90, 120, 180, 215, 270, 330]


def bar(middle_deg, start, end, width=10.0, beside=0.0):
    """Corners of a bar towards the middle of the frame, from `start` to `end` px away from it."""
    turn = math.radians(middle_deg)
    out = np.array([math.cos(turn), -math.sin(turn)])
    across = np.array([out[1], -out[0]])
    middle = np.array([WIDTH / 2, HEIGHT / 2]) + beside * across
    a, b = middle + start * out, middle + end * out
    half = across * width / 2
    return np.array([a + half, b + half, b - half, a - half])


def found(bars, contrast=60.0, over=True, seed=4, **how):
    """A dish in the middle of a table, with bars over it or under it."""
    pixels = np.full((HEIGHT, WIDTH), TABLE)
    dish = np.zeros(pixels.shape, np.bool_)
    dish[disk((HEIGHT / 2, WIDTH / 2), RADIUS)] = True

    def lay():
        for corners in bars:
            rows, columns = polygon(corners[:, 1], corners[:, 0], shape=pixels.shape)
            pixels[rows, columns] = TABLE - contrast

    if not over:
        lay()
    pixels[dish] = TABLE + 40
    if over:
        lay()
    noise = np.random.default_rng(seed).normal(0, 2, (*pixels.shape, 3))
    picture = np.clip(pixels[:, :, np.newaxis] + noise, 0, 255).astype(np.uint8)
    rim = Ellipse(Point(0.5, 0.5), (RADIUS / DIAGONAL,) * 2, 0.0)
    segments = find_line_segments(picture)
    return measure_leading_lines(segments, describe_mask(dish), [], [rim], subject_mask=dish, **how)


@pytest.mark.parametrize("turn_deg", TURNS_DEG)
def test_a_spoon_in_the_dish_leads_to_it_from_any_direction(turn_deg):
    quantity = found([bar(turn_deg, 20, 180)])
    assert quantity.value.kind == "lines"
    assert quantity.value.strength == pytest.approx(1)
    ((far, near),) = quantity.value.paths
    turn = math.radians(turn_deg)
    for end, away in ((far, 180), (near, 20)):
        expected = (0.5 + away * math.cos(turn) / WIDTH, 0.5 - away * math.sin(turn) / HEIGHT)
        assert end == pytest.approx(expected, abs=0.03)
    assert quantity.value.distance < 0.02


@pytest.mark.parametrize("turn_deg", [t for t in TURNS_DEG if t % 90])
def test_a_knife_that_ends_at_the_dish_leads_to_it_less_surely(turn_deg):
    touching = found([bar(turn_deg, 95, 230)], over=False)
    assert touching.value is not None
    assert touching.confidence < found([bar(turn_deg, 20, 180)]).confidence


@pytest.mark.parametrize("turn_deg", [0, 180])
def test_a_level_line_up_to_the_dish_is_the_edge_of_a_table(turn_deg):
    assert found([bar(turn_deg, 80, 280)], over=False).reason is Reason.NO_LEADING_LINES


@pytest.mark.parametrize(
    "bars",
    [
        [bar(30, -40, 60)],  # lies in the dish: its far end is not outside
        [bar(30, 95, 130)],  # a stub
        [bar(30, 20, 180, beside=70)],  # points past the middle
        [bar(30, 150, 230)],  # ends away from the dish
        [bar(30, 60, 200), bar(210, 60, 200)],  # goes on behind the dish
        [bar(30, 0, 190)] + [bar(30, -260, 260, beside=b) for b in range(-200, 201, 50) if b],
    ],
)
def test_other_bars_do_not_lead(bars):
    assert found(bars).reason is Reason.NO_LEADING_LINES


@pytest.mark.parametrize("contrast", [20, 40, -20, -40])
def test_a_line_of_low_contrast_is_found(contrast):
    values = [
        found([bar(turn, 92, 230, width=8)], contrast=contrast, over=False, seed=turn).value
        for turn in (25, 60, 120, 155, 205, 240, 300, 335)
    ]
    assert sum(value is not None for value in values) >= 7


def test_two_chopsticks_are_one_line_and_a_spoon_and_a_fork_are_two():
    sticks = [bar(40, 20, 185, width=5, beside=-5), bar(40, 20, 185, width=5, beside=5)]
    assert len(found(sticks).value.paths) == 1
    assert len(found([bar(40, 20, 180), bar(150, 20, 180)]).value.paths) == 2


def test_a_mirrored_picture_has_the_mirrored_handle():
    (one,) = found([bar(40, 20, 180)]).value.paths
    (other,) = found([bar(140, 20, 180)]).value.paths
    for end, mirrored in zip(one, other, strict=True):
        assert mirrored == pytest.approx((1 - end.x, end.y), abs=0.01)


@pytest.mark.parametrize(
    ("elongation", "centre_x", "is_found"),
    [(5.0, 0.27, True), (3.5, 0.27, False), (5.0, 0.15, False)],
)
def test_a_long_element_that_points_at_the_subject_leads_to_it(elongation, centre_x, is_found):
    # It lies to the lower left of the dish and rises towards it.
    turn = math.radians(30)
    x, y = 60 * math.cos(turn) / WIDTH, 60 * math.sin(turn) / HEIGHT
    centre_y = 0.5 + (0.5 - centre_x) * WIDTH * math.tan(turn) / HEIGHT
    ends = Point(centre_x - x, centre_y + y), Point(centre_x + x, centre_y - y)
    axis = MaskAxis(ends, 30.0, 120 / DIAGONAL, elongation)
    assert (found([], element_axes=[axis]).value is not None) == is_found


def test_the_body_of_a_pan_is_without_its_handle():
    mask = np.zeros((HEIGHT, WIDTH), np.bool_)
    mask[disk((200, 250), 100)] = True
    mask[190:211, 340:560] = True
    body = Body.of_mask(mask, 300.0, 200.0)
    assert body.centroid == pytest.approx((125, 100), abs=1)
    assert body.half_width_across(np.array([1.0, 0.0])) == pytest.approx(50, abs=2)
    assert body.gap_to(np.array([225.0, 100.0])) == pytest.approx(50, abs=2)
    assert body.gap_to(np.array([125.0, 90.0])) == pytest.approx(-40, abs=2)


def test_a_subject_cut_off_by_the_frame_keeps_its_body():
    mask = np.zeros((HEIGHT, WIDTH), np.bool_)
    mask[disk((400, 300), 100, shape=mask.shape)] = True
    body = Body.of_mask(mask, WIDTH, HEIGHT)
    assert body.inside.sum() * body.cell_px**2 == pytest.approx(mask.sum(), rel=0.03)


def test_an_empty_mask_has_no_body_and_a_thin_one_is_kept():
    empty = np.zeros((HEIGHT, WIDTH), np.bool_)
    assert Body.of_mask(empty, WIDTH, HEIGHT) is None
    thin = empty.copy()
    thin[195:206, 100:500] = True
    assert Body.of_mask(thin, WIDTH, HEIGHT).centroid == pytest.approx((300, 200), abs=4)


def test_the_body_of_a_region_is_the_ellipse_in_its_box():
    body = Body.of_region(region(0.5, 0.5, 0.1), WIDTH, HEIGHT)
    assert body.centroid == pytest.approx((300, 200), abs=2)
    assert body.inside.mean() == pytest.approx(0.1 * math.pi / 4, rel=0.05)


def sides(turn_deg=0.0, width=20.0, taper_deg=0.0, shift=0.0, contrast=0.3):
    """Two segments of 100 px that point at the middle of the frame, from 60 to 160 px away."""
    turn, taper = math.radians(turn_deg), math.radians(taper_deg) / 2
    out = np.array([math.cos(turn), -math.sin(turn)])
    across = np.array([out[1], -out[0]])
    middle = np.array([WIDTH / 2, HEIGHT / 2]) + 110 * out
    centres = np.array([middle - width / 2 * across, middle + width / 2 * across + shift * out])
    directions = np.array(
        [math.cos(taper) * out + side * math.sin(taper) * across for side in (-1, 1)]
    )
    return LineSegments(
        WIDTH, HEIGHT, centres, directions, np.full(2, 100.0), np.array([contrast, 0.5])
    )


# The body is a disc of 90 px, the diagonal 721 px.
@pytest.mark.parametrize(
    ("passes", "fails"),
    [
        ({"width": 28}, {"width": 30}),  # 0.04 of the diagonal
        ({"width": 2.5}, {"width": 2.0}),
        ({"taper_deg": 8.5}, {"taper_deg": 9.5}),
        ({"shift": 48}, {"shift": 52}),  # half of a side beside the other
        ({"contrast": 0.021}, {"contrast": 0.019}),
    ],
)
def test_each_rule_of_the_two_sides(passes, fails):
    mask = np.zeros((HEIGHT, WIDTH), np.bool_)
    mask[disk((HEIGHT / 2, WIDTH / 2), RADIUS)] = True
    body = Body.of_mask(mask, WIDTH, HEIGHT)
    assert len(leading_handles(sides(30.0), body)) == 1
    assert len(leading_handles(sides(30.0, **passes), body)) == 1
    assert not leading_handles(sides(30.0, **fails), body)
