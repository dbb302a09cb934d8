"""The share of the frame that is as near to a technique as the subject, and what is named by it."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.spatial import KDTree

from auditor.geometry import Point
from auditor.golden_spiral import golden_spiral_eyes
from auditor.measurements.technique_fit import (
    DIVISIONS,
    fit_techniques,
    golden_triangle_points,
    near_techniques,
)
from auditor.measurements.technique_fit.fit import (
    CENTROID_ERROR,
    MOST_CHANCE_OF_NEAR,
    NEAR_DISTANCE,
)
from auditor.quantities import tolerance_rule

FRAMES = [(3, 2), (4, 5), (1, 1), (20, 21), (16, 9), (1, 3)]
PHI = 1.6180339887
SIDE = 600  # positions along each side of a grid; a share is known to about 1 / SIDE
fractions = st.floats(0, 1)


def four(near):
    return [(x, y) for x in (near, 1 - near) for y in (near, 1 - near)]


def nearest_distances(name, width, height):
    """Distance of each position of a grid from a technique, in diagonals, straight from its points.

    Lines are followed point by point, so that no formula of the program is repeated.
    """
    places = np.linspace(0, 1, 4001)
    points = {
        "rule of thirds": four(1 / 3),
        "golden ratio": four(1 / PHI),
        "centred": [(0.5, 0.5)],
        "golden triangles": golden_triangle_points(width, height),
        "golden spiral": golden_spiral_eyes(),
        "symmetry": [(0.5, place) for place in places],
        "diagonals": [(place, y) for place in places for y in (place, 1 - place)],
    }[name]
    scale = np.array([width, height]) / math.hypot(width, height)
    steps = (np.arange(SIDE) + 0.5) / SIDE
    grid = np.stack(np.meshgrid(steps, steps), axis=-1).reshape(-1, 2)
    return KDTree(np.array(points) * scale).query(grid * scale)[0]


@pytest.mark.parametrize("frame", FRAMES)
@pytest.mark.parametrize("name", DIVISIONS)
def test_chance_is_the_share_of_a_grid_that_is_as_near(name, frame):
    distances = nearest_distances(name, *frame)
    for subject in np.random.default_rng(4).random((40, 2)):
        fit = fit_techniques(Point(*subject), *frame)[name]
        share = (distances <= max(fit.distance, CENTROID_ERROR)).mean()
        assert fit.chance == pytest.approx(share, abs=0.003)


def test_chance_of_the_centre_by_hand():
    # A disc of radius d diagonals: pi d^2 13 / 6 of a 3:2 frame, as long as it lies within it.
    subject = Point(0.5 + 0.1 * math.sqrt(13) / 3, 0.5)
    assert fit_techniques(subject, 3, 2)["centred"].chance == pytest.approx(
        math.pi * 0.01 * 13 / 6, abs=1e-6
    )
    assert fit_techniques(Point(0, 0), 3, 2)["centred"].chance == 1


def test_chance_of_the_diagonals_of_a_square_by_hand():
    # Halfway from the centre to an edge, d = 1/8: a quarter of each quarter's triangles is farther.
    assert fit_techniques(Point(0.5, 0.25), 1, 1)["diagonals"].chance == pytest.approx(0.75)


@given(fractions, fractions, st.floats(0.3, 3))
def test_chance_grows_with_the_distance(x, y, aspect):
    here = fit_techniques(Point(x, y), 1000 * aspect, 1000)
    middle = fit_techniques(Point((x + 0.5) / 2, (y + 0.5) / 2), 1000 * aspect, 1000)
    for name in DIVISIONS:
        (_, less), (_, more) = sorted(
            (fit.distance, fit.chance) for fit in (here[name], middle[name])
        )
        assert 0 < less <= more <= 1


@given(st.floats(0.3, 3))
def test_equal_discs_have_equal_chances(aspect):
    """On their own points, techniques with four points are equally unlikely: a tie."""
    width, height = 1000 * aspect, 1000
    points = {"rule of thirds": 1 / 3, "golden ratio": 1 / PHI, "golden spiral": 0.2763932}
    chances = {fit_techniques(Point(p, p), width, height)[n].chance for n, p in points.items()}
    assert len(chances) == 1


def near(x, y, frame):
    fits = fit_techniques(Point(x, y), *frame)
    del fits["symmetry"]  # it asks for more than a place
    return near_techniques(fits)


@given(st.floats(0, 2 * math.pi), st.floats(0, 0.9999), st.floats(0.3, 3))
def test_a_subject_in_the_middle_is_centred(turn, share, aspect):
    # In a nearly square frame the points of the golden triangles lie about the centre.
    reach = share * NEAR_DISTANCE * math.hypot(aspect, 1)
    x, y = 0.5 + reach * math.cos(turn) / aspect, 0.5 + reach * math.sin(turn)
    assert near(x, y, (aspect, 1)) == ["centred"]


@pytest.mark.parametrize("frame", [(3, 2), (4, 5), (1, 1), (16, 9), (2, 1)])
@pytest.mark.parametrize(
    ("place", "name"),
    [
        (1 / 3, "rule of thirds"),
        (1 / PHI, "golden ratio"),  # in 4:5 a point of the golden triangles is 0.012 away
        (0.2763932, "golden spiral"),
    ],
)
def test_a_subject_on_a_point_is_named_by_it(place, name, frame):
    for x, y in four(place):
        assert near(x, y, frame)[0] == name


def test_techniques_that_the_error_of_the_centroid_cannot_tell_apart_come_in_their_order():
    # 3:2: points of the thirds at 0.333, of the golden triangles at 4/13 = 0.308 of both sides.
    assert near(0.310, 0.310, (3, 2))[0] == "golden triangles"
    for place in (0.317, 0.321, 0.333):
        assert near(place, place, (3, 2))[:2] == ["rule of thirds", "golden triangles"]


def test_in_a_golden_rectangle_the_eye_and_the_golden_triangles_are_one():
    assert near(0.2763932, 0.2763932, (PHI, 1))[:2] == ["golden triangles", "golden spiral"]


@pytest.mark.parametrize("frame", FRAMES)
@given(place=fractions)
def test_a_diagonal_is_never_named(frame, place):
    assert "diagonals" not in near(place, place, frame)


@pytest.mark.parametrize("frame", [(3, 2), (4, 5), (1, 1)])
@pytest.mark.parametrize("place", [(0.1, 0.1), (0.5, 0.3), (0.41, 0.5), (0.2, 0.6)])
def test_nothing_is_named_away_from_all_points(frame, place):
    assert near(*place, frame) == []


def test_what_meets_a_plan_is_near():
    assert tolerance_rule("technique").default == NEAR_DISTANCE


def test_four_points_are_as_unlikely_as_the_limit_asks_up_to_two_to_one():
    """The limit on the chance decides about lines; points are held by the distance."""
    for frame, share in ((1, 1), 0.063), ((2, 1), 0.079):
        x = 1 / 3 + NEAR_DISTANCE * math.hypot(*frame) / frame[0]
        chance = fit_techniques(Point(x - 1e-9, 1 / 3), *frame)["rule of thirds"].chance
        assert chance == pytest.approx(share, abs=0.0005)
        assert chance <= MOST_CHANCE_OF_NEAR
