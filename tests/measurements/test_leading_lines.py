"""Leading lines, drawn and recovered: edges that point at the dish, arcs and S-curves of things."""

import dataclasses
import math

import numpy as np
import pytest
from skimage.draw import disk, polygon

from auditor.geometry import Box, Ellipse, Point, describe_mask, distance_fraction
from auditor.line_segments import LineSegments, PooledLine, find_line_segments
from auditor.measurements.leading_lines import measure_leading_lines
from auditor.measurements.leading_lines.edges import (
    _chance_of_count,
    _chance_of_line,
    _leads,
    _meeting_point,
    leading_edges,
)
from auditor.measurements.leading_lines.stretches import Stretch, Target, stretches_outside
from auditor.reasons import Reason
from tests.factories import region

SIZES = [(600, 400), (400, 500), (450, 450)]
HANDLE = (70, 52, 40)


def drawn(bars=(), size=(600, 400), at=(0.5, 0.5), seed=2):
    """A table with a dish at `at` and bars from one position to another, in fractions."""
    width, height = size
    noise = np.random.default_rng(seed).normal(0, 3, (height, width, 1))
    pixels = np.full((height, width, 3), (206, 200, 190), dtype=np.float64) + noise
    for (ax, ay), (bx, by) in bars:
        a, b = np.array([ax * width, ay * height]), np.array([bx * width, by * height])
        normal = np.array([[0, 1], [-1, 0]]) @ (b - a) / np.linalg.norm(b - a)
        corners = np.array([a + 2 * normal, b + 2 * normal, b - 2 * normal, a - 2 * normal])
        rows, columns = polygon(corners[:, 1], corners[:, 0], shape=(height, width))
        pixels[rows, columns] = HANDLE
    dish = np.zeros((height, width), np.bool_)
    radius = 0.2 * min(size)
    dish[disk((at[1] * height, at[0] * width), radius, shape=(height, width))] = True
    pixels[dish] = (176, 82, 31)
    rim = Ellipse(Point(*at), (radius / math.hypot(*size),) * 2, 0.0)
    return np.clip(pixels, 0, 255).astype(np.uint8), describe_mask(dish), rim


def found(bars, elements=(), **how):
    pixels, dish, rim = drawn(bars, **how)
    return measure_leading_lines(find_line_segments(pixels), dish, elements, [rim])


def spoke(turn_deg, size, start=0.5, end=0.25, beside=0.0):
    """A bar towards the middle: from `start` to `end` of the short side away, or past it."""
    turn = math.radians(turn_deg)
    right, up = math.cos(turn), math.sin(turn)
    short = min(size)
    return tuple(
        (
            0.5 + (away * right - beside * up) * short / size[0],
            0.5 - (away * up + beside * right) * short / size[1],
        )
        for away in (start, end)
    )


@pytest.mark.parametrize("turn_deg", [25, 50, 130, 155, 205, 230, 310, 335])
def test_a_handle_that_points_at_the_dish_leads_to_it(turn_deg):
    size = (600, 400)
    quantity = found([spoke(turn_deg, size, start=0.75)], size=size)
    assert quantity.value.kind == "lines"
    assert quantity.value.distance < 0.02
    assert quantity.value.leads_to == pytest.approx((0.5, 0.5), abs=0.02)
    assert quantity.value.strength == pytest.approx(1)
    far, near = quantity.value.paths[0]
    middle = Point(0.5, 0.5)
    assert distance_fraction(far, middle, *size) > distance_fraction(near, middle, *size)


@pytest.mark.parametrize("size", SIZES)
def test_the_meeting_point_of_two_lines_is_recovered(size):
    bars = [spoke(turn, size, start=0.7, end=0.25) for turn in (40, 150)]
    value = found(bars, size=size).value
    assert value.leads_to == pytest.approx((0.5, 0.5), abs=0.02)
    assert value.distance == pytest.approx(
        distance_fraction(value.leads_to, Point(0.5, 0.5), *size), abs=0.005
    )
    assert len(value.paths) == 2


@pytest.mark.parametrize(
    "bars",
    [
        [],
        [((0.05, 0.95), (0.3, 0.95))],  # level, in a corner
        [((0.0, 0.5), (0.34, 0.5))],  # level, points at it: the edge of the table
        [spoke(30, (600, 400), start=0.8, beside=0.25)],  # passes beside it
        [spoke(30, (600, 400), start=0.8), spoke(210, (600, 400), start=0.8)],  # goes on behind it
        [((0.1, 0.05), (0.1, 0.95)), ((0.9, 0.05), (0.9, 0.95))],  # upright, on either side
    ],
)
def test_lines_that_lead_nowhere_are_ignored(bars):
    quantity = found(bars)
    assert quantity.value is None
    assert quantity.reason is Reason.NO_LEADING_LINES


def test_a_line_must_come_close_to_the_dish():
    # The dish's radius is 0.2 of the short side, 0.111 of the diagonal.
    gaps = {
        gap: found([spoke(30, (600, 400), start=0.8, end=0.2 + gap * 721 / 400)]).value is not None
        for gap in (0.0, 0.02, 0.12)
    }
    assert gaps == {0.0: True, 0.02: True, 0.12: False}


def test_a_stub_does_not_lead_and_a_fork_does():
    answers = [
        found([spoke(30, (600, 400), start=0.25 + length * 721 / 400)]).value is not None
        for length in (0.08, 0.2)
    ]
    assert answers == [False, True]


def test_a_line_that_passes_beside_the_middle_of_the_dish_does_not_lead():
    # Half of the half width (0.1 of the short side) is allowed.
    answers = [
        found([spoke(30, (600, 400), start=0.8, end=0.24, beside=beside)]).value is not None
        for beside in (0.06, 0.16)
    ]
    assert answers == [True, False]


def test_the_two_sides_of_a_tapering_handle_are_one_line():
    width, height = 600, 400
    pixels, dish, rim = drawn()
    a, b = ((f[0] * width, f[1] * height) for f in spoke(30, (600, 400), start=0.8, end=0.24))
    normal = np.array([math.sin(math.radians(30)), math.cos(math.radians(30))])
    corners = np.array([a + 20 * normal, b + 6 * normal, b - 6 * normal, a - 20 * normal])
    rows, columns = polygon(corners[:, 1], corners[:, 0], shape=(height, width))
    pixels[rows, columns] = HANDLE
    value = measure_leading_lines(find_line_segments(pixels), dish, [], [rim]).value
    assert len(value.paths) == 1


def test_chance_of_lines_by_hand():
    # Two lines with probabilities 0.1 and 0.3: none 0.63, both 0.03.
    assert _chance_of_count(1, [0.1, 0.3]) == pytest.approx(0.37)
    assert _chance_of_count(2, [0.1, 0.3]) == pytest.approx(0.03)


def test_the_chance_of_a_line_is_proportional_to_the_width_of_its_target():
    # A disc of radius 30 at 100 px, half of whose width counts: directions within
    # atan(15 / 100) = 8.53 degrees of the middle, of 90 on either side; a tenth pass other rules.
    target = Target(np.array([0.0, 0.0]), np.array([-30.0, -30.0]), np.array([30.0, 30.0]))
    line = Stretch(np.array([140.0, 0.0]), np.array([60.0, 0.0]), LEVEL, 0.0)
    assert _chance_of_line(line, target) == pytest.approx(8.53 / 90 / 10, rel=1e-3)


@pytest.mark.parametrize("crossing_deg", [30, 60, 90, 150])
def test_lines_meet_where_they_cross(crossing_deg):
    lines = [ray((30.0, -20.0), turn) for turn in (0, crossing_deg)]
    # A doubtful crossing would be pulled towards the subject (0, 0).
    assert np.linalg.norm(_meeting_point(lines, np.zeros(2)) - (30, -20)) < 4.5


def test_parallels_meet_beside_the_subject_without_jumps():
    places = [
        _meeting_point([ray((200.0, 20.0), 0), ray((200.0, 20.0), turn)], np.zeros(2))
        for turn in np.arange(0, 40, 0.5)
    ]
    assert places[0] == pytest.approx((0, 20), abs=0.5)
    assert np.linalg.norm(places[-1] - (200, 20)) < 20
    assert np.linalg.norm(np.diff(places, axis=0), axis=1).max() < 12


LEVEL = PooledLine(0.0, (0.0, 0.0), 80.0, 0.5)


def ray(through, turn_deg):
    """A stretch that ends 50 px before a position."""
    ahead = np.array([math.cos(math.radians(turn_deg)), math.sin(math.radians(turn_deg))])
    return Stretch(through - 130 * ahead, through - 50 * ahead, LEVEL, 0.0)


def test_a_line_among_many_of_all_directions_does_not_lead():
    rng = np.random.default_rng(8)
    scattered = []
    for _ in range(14):
        x, y = rng.uniform(0.05, 0.95, 2)
        turn = rng.uniform(0, math.pi)
        dx, dy = 0.18 * math.cos(turn), 0.27 * math.sin(turn)
        scattered.append(((x - dx / 2, y - dy / 2), (x + dx / 2, y + dy / 2)))
    one = spoke(30, (600, 400), start=0.7)
    assert found([one]).value is not None
    assert found([one, *scattered]).value is None


def test_without_a_subject_nothing_leads():
    pixels, _, _ = drawn()
    quantity = measure_leading_lines(find_line_segments(pixels), None, [], [])
    assert quantity.reason is Reason.NO_SUBJECT


def on_circle(turns_deg, radius, size=(600, 400), middle=(0.5, 0.5)):
    """Things around a position; the radius is a fraction of the diagonal."""
    diagonal = math.hypot(*size)
    return [
        region(
            middle[0] + radius * diagonal * math.cos(math.radians(turn)) / size[0],
            middle[1] - radius * diagonal * math.sin(math.radians(turn)) / size[1],
            0.006,
        )
        for turn in turns_deg
    ]


def curve(subject, elements, size=(600, 400)):
    segments = find_line_segments(np.full((size[1], size[0], 3), 190, np.uint8))
    return measure_leading_lines(segments, subject, elements, [])


@pytest.mark.parametrize("size", SIZES)
@pytest.mark.parametrize("turn_deg", [0, 70, 160, 250])
def test_an_arc_around_the_dish(size, turn_deg):
    turns = [turn_deg + 45 * k for k in range(5)]
    value = curve(region(0.5, 0.5, 0.08), on_circle(turns, 0.24, size), size).value
    assert value.kind == "arc"
    assert value.leads_to == pytest.approx((0.5, 0.5), abs=1e-6)
    assert value.distance == pytest.approx(0, abs=1e-6)
    assert value.strength == pytest.approx(1)
    assert len(value.paths[0]) == 5


def test_a_ring_scatter_and_few_things_are_no_arc():
    dish = region(0.5, 0.5, 0.08)
    assert curve(dish, on_circle(range(0, 360, 45), 0.24)).value is None
    assert curve(dish, on_circle((0, 45, 90), 0.24)).value is None
    uneven = [*on_circle((0, 90), 0.24), *on_circle((45, 135), 0.17)]
    assert curve(dish, uneven).value is None


def test_random_things_rarely_form_a_curve():
    rng = np.random.default_rng(11)
    n_curves = sum(
        curve(
            region(0.5, 0.5, 0.08),
            [region(*rng.uniform(0.05, 0.95, 2), 0.006) for _ in range(5)],
        ).value
        is not None
        for _ in range(200)
    )
    assert n_curves <= 6  # 3 %


def test_a_bent_row_that_ends_at_the_dish_is_an_arc():
    # Things on a quarter of a circle around (0.2, 0.85); the next position is the dish.
    things = on_circle((80, 62, 44, 26), 0.45, middle=(0.2, 0.85))
    dish = on_circle((8,), 0.45, middle=(0.2, 0.85))[0]
    value = curve(dataclasses.replace(dish, area_fraction=0.08), things).value
    assert value.kind == "arc"
    assert value.leads_to == things[-1].centroid
    assert value.paths[0][0] == things[0].centroid
    assert value.paths[0][-1] == things[-1].centroid


def test_an_s_curve_of_things():
    # x = sin over one period, up the frame to the dish.
    places = [(0.5 + 0.16 * math.sin(2 * math.pi * k / 6), 0.92 - 0.125 * k) for k in range(7)]
    *things, dish = (region(x, y, 0.006) for x, y in places)
    value = curve(dish, things).value
    assert value.kind == "S-curve"
    assert value.leads_to == things[-1].centroid


@pytest.mark.parametrize("turn_deg", [0, 160])
def test_a_stray_away_from_a_longer_arc_is_ignored(turn_deg):
    dish = region(0.5, 0.5, 0.08)
    arc = on_circle([turn_deg + 40 * k for k in range(5)], 0.24)
    stray = on_circle([turn_deg + 260], 0.34)
    value = curve(dish, [*arc[:2], *stray, *arc[2:]]).value
    assert value.kind == "arc"
    assert value.paths == curve(dish, arc).value.paths
    # Four things and a stray, and a stray on the circle itself, are not enough.
    assert curve(dish, arc[:4] + stray).value is None
    ring = on_circle(range(0, 360, 60), 0.24)
    assert curve(dish, ring).value is None


def test_a_stray_beside_a_row_that_ends_at_the_dish_is_ignored():
    *things, dish = on_circle((80, 66, 52, 38, 24, 10), 0.45, middle=(0.2, 0.85))
    value = curve(dataclasses.replace(dish, area_fraction=0.08), [*things, region(0.8, 0.2, 0.006)])
    assert value.value.kind == "arc"
    assert value.value.leads_to == things[-1].centroid


def test_a_straight_row_is_no_curve():
    things = [region(0.1 + 0.12 * k, 0.9 - 0.1 * k, 0.006) for k in range(4)]
    assert curve(region(0.58, 0.5, 0.06), things).value is None


def test_mirroring_mirrors_lines_and_curves():
    bars = [spoke(40, (600, 400), start=0.7), spoke(165, (600, 400), start=0.8)]
    pixels, dish, rim = drawn(bars)
    flipped = np.ascontiguousarray(pixels[:, ::-1])
    one = measure_leading_lines(find_line_segments(pixels), dish, [], [rim]).value
    other = measure_leading_lines(find_line_segments(flipped), dish, [], [rim]).value
    assert other.leads_to.x == pytest.approx(1 - one.leads_to.x, abs=0.01)
    assert other.leads_to.y == pytest.approx(one.leads_to.y, abs=0.01)
    assert other.distance == pytest.approx(one.distance, abs=0.01)

    things = on_circle((80, 62, 44, 26), 0.45, middle=(0.2, 0.85))
    dish = on_circle((8,), 0.45, middle=(0.2, 0.85))[0]
    one = curve(dish, things).value
    other = curve(mirrored(dish), [mirrored(thing) for thing in things]).value
    assert other.kind == one.kind
    assert other.leads_to == pytest.approx((1 - one.leads_to.x, one.leads_to.y))


def mirrored(thing):
    left, top, right, bottom = thing.bbox
    return dataclasses.replace(
        thing,
        centroid=Point(1 - thing.centroid.x, thing.centroid.y),
        bbox=Box(1 - right, top, 1 - left, bottom),
    )


# Each rule by itself: a line that just passes it, and one that fails that rule alone. The dish is a
# box of 24 px around (0, 0) in a frame with a diagonal of 100 px.
DISH = Target(np.zeros(2), np.full(2, -12.0), np.full(2, 12.0))


def leads(angle_deg=30.0, length=20.0, gap=1.0, contrast=0.3, behind=0.0, beside=0.0, near=None):
    out = np.array([math.cos(math.radians(angle_deg)), -math.sin(math.radians(angle_deg))])
    aside = beside * np.array([-out[1], out[0]])
    near = (12 + gap) / out[0] if near is None else near
    line = PooledLine(angle_deg, (0.0, 0.0), length, contrast)
    stretch = Stretch((near + length) * out + aside, near * out + aside, line, behind)
    return _leads(stretch, DISH, 100.0)


@pytest.mark.parametrize(
    ("passes", "fails"),
    [
        ({"angle_deg": 12.5}, {"angle_deg": 11.5}),
        ({"length": 12.5}, {"length": 11.5}),
        ({"gap": 4.8}, {"gap": 5.2}),
        ({"contrast": 0.055}, {"contrast": 0.045}),
        ({"behind": 4.8}, {"behind": 5.2}),  # a quarter of 20
        # Half of the half width: 12 (sin 30 + cos 30) / 2 = 8.2.
        ({"beside": 8.1, "near": 12.0}, {"beside": 8.3, "near": 12.0}),
        # From (7, 8) to (20, 8) it comes nearer by 10.9 of 13, from (4, 8) to (17, 8) by 9.8.
        ({"beside": 8.0, "length": 13.0, "near": 7.0}, {"beside": 8, "length": 13, "near": 4.0}),
    ],
)
def test_each_rule_of_a_leading_line(passes, fails):
    assert leads()
    assert leads(**passes)
    assert not leads(**fails)


def rods(*ends, size=(600, 400), contrast=0.4):
    """Segments between positions in px."""
    first, last = (np.array([pair[k] for pair in ends], dtype=float) for k in (0, 1))
    lengths = np.linalg.norm(last - first, axis=1)
    directions = (last - first) / lengths[:, np.newaxis]
    return LineSegments(
        *size, (first + last) / 2, directions, lengths, np.full(len(ends), contrast)
    )


@pytest.mark.parametrize(("gap", "length"), [(34, 234), (38, 100)])
def test_a_gap_of_a_twentieth_of_the_diagonal_separates_two_stretches(gap, length):
    # The diagonal of 600 by 400 is 721.1, a twentieth of it 36.06.
    segments = rods(((20, 20), (120, 20)), ((120 + gap, 20), (220 + gap, 20)))
    target = Target.of(region(0.5, 0.8, 0.02), segments)
    (stretch,) = stretches_outside(segments, target)
    assert stretch.length_px == pytest.approx(length)


@pytest.mark.parametrize(("length", "n_found"), [(74, 1), (70, 0)])
def test_shorter_than_a_tenth_of_the_diagonal_is_texture(length, n_found):
    segments = rods(((20, 20), (20 + length, 20)))
    target = Target.of(region(0.5, 0.8, 0.02), segments)
    assert len(stretches_outside(segments, target)) == n_found


def test_an_edge_beyond_the_dish_is_behind():
    segments = rods(((20, 200), (150, 200)), ((420, 200), (500, 200)))
    (stretch,) = stretches_outside(segments, Target.of(region(0.5, 0.5, 0.1), segments))
    assert stretch.behind_px == pytest.approx(80)
    assert stretch.near == pytest.approx((150, 200))


# The leading line is 180 px long; level lines of the same contrast do not lead.
@pytest.mark.parametrize(("others_px", "is_found"), [(170, True), (190, False)])
def test_leading_edges_need_half_of_the_weight(others_px, is_found):
    line = ((300 - 250 * 0.8, 200 - 250 * 0.6), (300 - 70 * 0.8, 200 - 70 * 0.6))
    segments = rods(line, ((80, 380), (80 + others_px, 380)))
    found_lines = leading_edges(segments, region(0.5, 0.5, 0.06), [])
    assert (found_lines is not None) == is_found


@pytest.mark.parametrize(
    ("passes", "fails"),
    [
        ({"area": 0.0021}, {"area": 0.0019}),
        ({"turns_deg": (0, 40, 80, 120)}, {"turns_deg": (0, 60, 120)}),
        ({"turns_deg": range(0, 286, 26)}, {"turns_deg": range(0, 286, 22)}),  # 11 and 13
        ({"subject_area": 0.34}, {"subject_area": 0.36}),
        ({"aside": 0.38}, {"aside": 0.42}),  # of the radius
        ({"radius": 0.11}, {"radius": 0.09}),
        ({"turns_deg": (0, 73, 146, 219)}, {"turns_deg": (0, 77, 154, 231)}),
        ({"turns_deg": (0, 35, 70, 105)}, {"turns_deg": (0, 32, 64, 96)}),
        ({"turns_deg": range(0, 298, 33)}, {"turns_deg": range(0, 307, 34)}),  # open by 63, 54
        ({"turns_deg": range(0, 276, 55)}, {"turns_deg": range(0, 281, 56)}),  # 85 : 55, 80 : 56
    ],
)
def test_each_rule_of_an_arc(passes, fails):
    def is_arc(turns_deg=range(0, 200, 40), area=0.006, subject_area=0.05, aside=0.0, radius=0.24):
        dish = region(0.5, 0.5 + aside * radius * math.hypot(600, 400) / 400, subject_area)
        things = on_circle(turns_deg, radius)
        value = curve(dish, [dataclasses.replace(t, area_fraction=area) for t in things]).value
        return value is not None and value.leads_to == pytest.approx((0.5, 0.5), abs=1e-6)

    assert is_arc()
    assert is_arc(**passes)
    assert not is_arc(**fails)


def row(headings_deg, steps):
    """Things in a square frame whose steps, in diagonals, lead to the dish, first step first."""
    places, at = [], np.array([0.75, 0.5])
    for heading, step in zip(headings_deg[::-1], steps[::-1], strict=True):
        turn = math.radians(heading)
        at = at - step * math.sqrt(2) * np.array([math.cos(turn), -math.sin(turn)])
        places.insert(0, region(*at, 0.006))
    return curve(region(0.75, 0.5, 0.02), places, (450, 450)).value


@pytest.mark.parametrize(
    ("headings_deg", "steps", "kind"),
    [
        ((-30, -10, 10, 30), (0.12,) * 4, "arc"),
        ((-30, -10, 10, 30), (0.102,) * 4, "arc"),
        ((-30, -10, 10, 30), (0.098,) * 4, None),  # 0.39 of the diagonal
        ((-30, -10, 10, 30), (0.12, 0.12, 0.12, 0.05), "arc"),
        ((-30, -10, 10, 30), (0.12, 0.12, 0.12, 0.046), None),  # 0.38 of the longest
        ((-13, -5, 5, 13), (0.12,) * 4, "arc"),
        ((-12, -4, 4, 12), (0.12,) * 4, None),  # bends by 24
        ((-30, -10, 10, 73), (0.12,) * 4, "arc"),
        ((-30, -10, 10, 77), (0.12,) * 4, None),  # turns by 67 at once
        ((0, 40, 0, -40), (0.12,) * 4, "S-curve"),
        ((0, 40, 0, 40), (0.12,) * 4, None),  # three bends
        ((0, 40, 20, 16), (0.12,) * 4, None),  # back by 24
    ],
)
def test_each_rule_of_a_row(headings_deg, steps, kind):
    value = row(headings_deg, steps)
    assert (None if value is None else value.kind) == kind
