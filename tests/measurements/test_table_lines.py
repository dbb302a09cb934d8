"""Camera elevation from straight edges on a table, drawn through a pinhole as segments."""

import numpy as np
import pytest

from auditor.line_segments import LineSegments
from auditor.measurements.camera_elevation import measure_camera_elevation
from auditor.measurements.camera_elevation.lens import lens_of
from auditor.measurements.camera_elevation.posterior import (
    ELEVATIONS_DEG,
    LINES_DOUBT,
    agreement,
    doubt_after,
    doubt_of_halves,
    reading_of,
)
from auditor.measurements.camera_elevation.table_lines import read_table_lines
from auditor.reasons import Reason
from tests.measurements.drawn_dishes import FULL_FRAME_DIAGONAL_MM

WIDTH, HEIGHT = 360.0, 240.0
FOCAL_PX = 50 / FULL_FRAME_DIAGONAL_MM * np.hypot(WIDTH, HEIGHT)


def seen(table, deg, roll_deg=0.0):
    """Pixels (N, 2) of table positions (N, 2): right of the aim and beyond it, 3 away."""
    e, roll = np.radians([deg, roll_deg])
    right, away = np.asarray(table, dtype=float).T
    depth = 3 + away * np.cos(e)
    x, y = FOCAL_PX * right / depth, -FOCAL_PX * away * np.sin(e) / depth
    return np.stack(
        [
            WIDTH / 2 + x * np.cos(roll) + y * np.sin(roll),
            HEIGHT / 2 - x * np.sin(roll) + y * np.cos(roll),
        ],
        axis=-1,
    )


def segments(ends, jitter_px=0.3, seed=0):
    """Segments from their ends (N, 2, 2), with a little noise."""
    ends = np.asarray(ends) + np.random.default_rng(seed).normal(0, jitter_px, np.shape(ends))
    along = ends[:, 1] - ends[:, 0]
    length = np.linalg.norm(along, axis=1)
    return LineSegments(
        WIDTH, HEIGHT, ends.mean(axis=1), along / length[:, None], length, np.full(len(ends), 0.3)
    )


def edges(deg, spin_deg, at=(0.0, 0.0), half=(0.6, 0.4), sides=(0, 1, 2, 3), roll_deg=0.0):
    """Some sides of a board, (N, 2, 2)."""
    spin = np.radians(spin_deg)
    turn = np.array([[np.cos(spin), np.sin(spin)], [-np.sin(spin), np.cos(spin)]])
    corners = np.array([(-1, -1), (1, -1), (1, 1), (-1, 1)]) * half @ turn + at
    image = seen(corners, deg, roll_deg)
    return np.stack([image, np.roll(image, -1, axis=0)], axis=1)[list(sides)]


def around(deg, error_deg=5):
    """A likelihood around one elevation."""
    return np.exp(-0.5 * ((ELEVATIONS_DEG - deg) / error_deg) ** 2)


def reading(found, focal_length_35mm=50, things=None):
    table = read_table_lines(found, lens_of(WIDTH, HEIGHT, focal_length_35mm), things)
    return reading_of(table.likelihood, table.doubt, 10.0), table


@pytest.mark.parametrize("deg", [20, 35, 50, 65, 80])
@pytest.mark.parametrize("spin_deg", [12, 30])
def test_the_edges_of_a_board_give_the_elevation(deg, spin_deg):
    found, table = reading(segments(edges(deg, spin_deg)))
    assert found.deg == pytest.approx(deg, abs=6)
    assert found.confidence > 0.5
    assert len(table.lines) >= 3  # a short one may be too inexact


@pytest.mark.parametrize("deg", [30, 45, 60])
def test_three_sides_are_enough_where_food_hides_the_fourth(deg):
    found, _ = reading(segments(edges(deg, 25, sides=(0, 1, 2))))
    assert found.deg == pytest.approx(deg, abs=8)


def test_two_things_at_different_angles_are_read_together():
    both = np.concatenate(
        [edges(45, 20, (-0.5, 0.2), (0.3, 0.3)), edges(45, 55, (0.5, -0.1), (0.35, 0.25))]
    )
    found, table = reading(segments(both))
    assert found.deg == pytest.approx(45, abs=6)
    assert len(table.lines) >= 6


def test_a_mirrored_picture_gives_the_same():
    ends = edges(40, 25, (0.2, 0.1))
    mirrored = np.stack([WIDTH - ends[..., 0], ends[..., 1]], axis=-1)
    one, other = reading(segments(ends, 0))[0], reading(segments(mirrored, 0))[0]
    assert one.deg == pytest.approx(other.deg, abs=0.5)


def test_a_slightly_rolled_camera_gives_about_the_same():
    found, _ = reading(segments(edges(45, 20, roll_deg=3)))
    assert found.deg == pytest.approx(45, abs=7)


def test_an_unknown_focal_length_widens_the_error():
    lines = segments(edges(45, 8))
    assert reading(lines, None)[0].spread_deg > reading(lines, 50)[0].spread_deg


def test_edges_at_random_give_no_elevation():
    rng = np.random.default_rng(3)
    answered = 0
    for _ in range(40):
        start = rng.uniform((20, 20), (WIDTH - 20, HEIGHT - 20), (12, 2))
        turn = rng.uniform(0, np.pi, 12)
        along = 40 * np.stack([np.cos(turn), np.sin(turn)], axis=-1)
        lines = segments(np.stack([start, start + along], axis=1))
        found = measure_camera_elevation([], int(WIDTH), int(HEIGHT), 50, lines)
        answered += found.value is not None
    assert answered <= 8  # of 40


def test_edges_inside_a_thing_are_left_out():
    things = np.zeros((60, 90), dtype=np.int32)
    things[5:55, 5:85] = 1
    _, table = reading(segments(edges(45, 20, half=(0.3, 0.2))), things=things)
    assert table.lines == ()
    assert np.ptp(table.likelihood) == 0


def test_too_few_edges_give_no_value():
    found = measure_camera_elevation(
        [], int(WIDTH), int(HEIGHT), 50, segments(edges(45, 20, sides=(0, 1)))
    )
    assert found.reason is Reason.NO_ROUND_RIM


def test_agreement_lowers_the_doubt_and_contradiction_raises_it():
    near, far = agreement(45, 4, around(45)), agreement(80, 4, around(45))
    assert doubt_after(0.3, 0.2, near) < 0.3 < doubt_after(0.3, 0.2, far)
    # A reading that is itself doubtful contradicts less.
    assert doubt_after(0.3, 0.6, far) < doubt_after(0.3, 0.2, far)
    assert doubt_after(0.0, 0.2, far) == 0
    assert agreement(45, 4, np.ones_like(ELEVATIONS_DEG)) == pytest.approx(1)


def test_halves_that_agree_lower_the_doubt_of_lines():
    even = np.ones_like(ELEVATIONS_DEG)
    alike, apart = doubt_of_halves(around(45), around(48)), doubt_of_halves(around(45), around(70))
    assert alike < LINES_DOUBT < apart
    assert doubt_of_halves(even, around(45)) == pytest.approx(LINES_DOUBT)
    assert doubt_of_halves(around(45), around(70)) == doubt_of_halves(around(70), around(45))


def test_lines_parallel_to_the_frame_give_no_steep_view():
    # The sides of prints in a collage, or of a window, look like mats seen from overhead.
    mats = [((-0.5, 0.2), (0.3, 0.3)), ((0.4, -0.2), (0.35, 0.25))]

    def elevation(spin_deg):
        ends = np.concatenate([edges(90, spin_deg, at, half) for at, half in mats])
        lines = segments(ends)
        return measure_camera_elevation([], int(WIDTH), int(HEIGHT), 50, lines)

    assert elevation(0).value is None
    assert elevation(20).value.deg > 80


def test_what_is_usual_pulls_a_flat_likelihood_to_the_middle():
    found = reading_of(np.ones_like(ELEVATIONS_DEG), LINES_DOUBT, 10.0)
    assert 40 < found.deg < 55
    assert found.confidence < 0.5
