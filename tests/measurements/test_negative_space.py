import numpy as np
import pytest
from skimage.draw import disk
from skimage.transform import resize

from auditor.measurements.negative_space import measure_negative_space, side_of

HEIGHT, WIDTH = 400, 600


def cloth(kind):
    """A ground, (400, 600, 3) uint8."""
    rng = np.random.default_rng(3)
    y, x = np.mgrid[0:HEIGHT, 0:WIDTH]
    ground = np.full((HEIGHT, WIDTH), 150.0)
    if kind == "linen":
        ground = 150 + 25 * np.sin(x * 1.6) + 25 * np.sin(y * 1.6)
    elif kind == "checks":
        ground = np.where(((x // 9) + (y // 9)) % 2 == 0, 190.0, 110.0)
    elif kind == "soft shadow":
        ground = 190 - 90 / (1 + np.exp(-(x + y - 500) / 40))
    elif kind == "horizon":
        ground = np.where(y < 130, 220.0, 90.0)
    noisy = ground[..., np.newaxis] + rng.normal(0, 3, (HEIGHT, WIDTH, 1))
    return np.clip(noisy * np.array([1.0, 0.95, 0.85]), 0, 255).astype(np.uint8)


def with_disc(ground, column, row, radius):
    pixels, occupied = ground.copy(), np.zeros((HEIGHT, WIDTH), dtype=bool)
    rows, columns = disk((row, column), radius, shape=(HEIGHT, WIDTH))
    pixels[rows, columns] = (200, 60, 20)
    occupied[rows, columns] = True
    return pixels, occupied


@pytest.mark.parametrize("kind", ["plain", "linen", "checks", "soft shadow", "horizon"])
def test_ground_counts_as_empty_whatever_its_weave(kind):
    pixels, occupied = with_disc(cloth(kind), 420, 220, 110)
    space = measure_negative_space(pixels, occupied).value
    assert space.fraction == pytest.approx(1 - occupied.mean(), abs=0.03)
    assert space.side == "left"


def test_restless_ground_is_not_empty():
    rng = np.random.default_rng(5)
    clutter = resize(rng.integers(0, 255, (12, 18, 3)).astype(float), (HEIGHT, WIDTH, 3), order=0)
    pixels = clutter.astype(np.uint8)
    pixels[:, 300:] = 170
    space = measure_negative_space(pixels, np.zeros((HEIGHT, WIDTH), dtype=bool)).value
    assert space.fraction == pytest.approx(0.5, abs=0.08)
    assert space.side == "right"
    assert space.largest_region_bbox.left > 0.4


@pytest.mark.parametrize(
    ("place", "side"),
    [((450, 200), "left"), ((150, 200), "right"), ((300, 300), "top"), ((300, 100), "bottom")],
)
def test_emptiness_lies_opposite_the_thing(place, side):
    pixels, occupied = with_disc(cloth("plain"), *place, 99)
    assert measure_negative_space(pixels, occupied).value.side == side
    mirror = {"left": "right", "right": "left"}.get(side, side)
    assert measure_negative_space(pixels[:, ::-1], occupied[:, ::-1]).value.side == mirror


def test_emptiness_around_a_thing_in_the_middle():
    pixels, occupied = with_disc(cloth("linen"), 300, 200, 110)
    space = measure_negative_space(pixels, occupied).value
    assert space.side == "around"
    assert space.largest_region_bbox == pytest.approx((0, 0, 1, 1), abs=0.01)
    assert space.largest_region_fraction == pytest.approx(space.fraction)


def test_full_frame_leaves_none():
    space = measure_negative_space(cloth("plain"), np.ones((40, 60), dtype=bool)).value
    assert (space.fraction, space.side, space.largest_region_bbox) == (0, "none", None)
    assert space.largest_region_fraction == 0


def test_size_of_the_picture_changes_little():
    pixels, occupied = with_disc(cloth("checks"), 420, 220, 110)
    half = measure_negative_space(pixels[::2, ::2], occupied[::2, ::2]).value.fraction
    assert half == pytest.approx(measure_negative_space(pixels, occupied).value.fraction, abs=0.01)


def test_more_outline_means_less_confidence():
    one, once = with_disc(cloth("plain"), 300, 200, 60)
    many, often = one, once
    for column in range(60, 600, 120):
        for row in (60, 200, 340):
            many, added = with_disc(many, column, row, 40)
            often = often | added
    sure = measure_negative_space(one, once).confidence
    assert measure_negative_space(many, often).confidence < sure


def test_side_needs_a_clear_majority():
    empty = np.ones((100, 100), dtype=bool)
    empty[40:60, 52:60] = False
    assert side_of(empty) == "around"
