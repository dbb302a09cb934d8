"""Negative space: drawn surfaces, patterns and clutter, and each threshold from both sides."""

import numpy as np
import pytest
from skimage.draw import disk
from skimage.transform import resize

from auditor.measurements.negative_space import (
    NegativeSpace,
    doubt_of_pattern,
    measure_negative_space,
)
from auditor.measurements.negative_space.measure import busy_ground
from auditor.measurements.negative_space.space import Emptiness, emptiness, side_of
from auditor.reasons import Reason

HEIGHT, WIDTH = 400, 600


def measured(pixels, occupied, elements_map=None):
    """Negative space with a map equal to the mask, or another map."""
    certain = occupied.astype(np.float32)
    return measure_negative_space(
        pixels, occupied, certain if elements_map is None else elements_map
    )


def cloth(kind):
    """A surface, (400, 600, 3) uint8."""
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
def test_plain_and_finely_woven_surfaces_are_empty(kind):
    pixels, occupied = with_disc(cloth(kind), 420, 220, 110)
    space = measured(pixels, occupied).value
    assert space.fraction == pytest.approx(1 - occupied.mean(), abs=0.03)
    assert space.side == "left"


PATTERNS = ("stripes", "checks", "gingham", "dots")
PATTERN_SIZES_PX = (6, 12, 24, 40, 70, 110)  # of a frame 600 wide: a weave to a bold tablecloth


def pattern(kind, size):
    """Share of the second colour, (400, 600) in [0, 1]."""
    y, x = np.mgrid[0:HEIGHT, 0:WIDTH]
    if kind == "stripes":
        return ((x + 0.3 * y) // size % 2).astype(float)
    if kind == "checks":
        return ((x // size + y // size) % 2).astype(float)
    if kind == "gingham":
        return (x // size % 2 + y // size % 2) / 2
    shown, rng = np.zeros((HEIGHT, WIDTH)), np.random.default_rng(2)
    for _ in range(int(0.35 * HEIGHT * WIDTH / size**2)):
        place = (rng.uniform(0, HEIGHT), rng.uniform(0, WIDTH))
        shown[disk(place, size / 2, shape=shown.shape)] = 1
    return shown


def laid_table(shown, contrast):
    """A dish, a cup and a leaf on a cloth, lit from the left."""
    light = np.array([200.0, 190.0, 170.0])
    dark = light - contrast * np.array([150.0, 110.0, 60.0])
    x = np.linspace(0, 1, WIDTH)[:, np.newaxis]
    pixels = (light + (dark - light) * shown[..., np.newaxis]) * (1.1 - 0.35 * x)
    pixels += np.random.default_rng(3).normal(0, 3, (HEIGHT, WIDTH, 1))
    occupied = np.zeros((HEIGHT, WIDTH), dtype=bool)
    for column, row, radius, colour in (
        (400, 200, 90, (230, 225, 215)),
        (520, 330, 35, (180, 90, 30)),
        (330, 340, 25, (90, 120, 60)),
    ):
        place = disk((row, column), radius, shape=occupied.shape)
        pixels[place], occupied[place] = colour, True
    return np.clip(pixels, 0, 255).astype(np.uint8), occupied


@pytest.mark.parametrize("contrast", [0.3, 0.6, 1.0])
@pytest.mark.parametrize("kind", PATTERNS)
def test_patterned_cloth_is_as_empty_as_a_plain_one(kind, contrast):
    plain = measured(*laid_table(np.zeros((HEIGHT, WIDTH)), 1.0)).value
    for size in PATTERN_SIZES_PX:
        space = measured(*laid_table(pattern(kind, size), contrast)).value
        assert space.fraction == pytest.approx(plain.fraction, abs=0.03), size
        assert space.side == plain.side == "left", size


@pytest.mark.parametrize("size", [30, 45])
def test_shelf_of_many_colours_is_not_empty(size):
    rng = np.random.default_rng(8)
    colours = rng.integers(0, 255, (HEIGHT // size + 1, WIDTH // size + 1, 3))
    shelf = colours.repeat(size, axis=0).repeat(size, axis=1)[:HEIGHT, :WIDTH]
    pixels, occupied = laid_table(np.zeros((HEIGHT, WIDTH)), 1.0)
    pixels[:, :250] = shelf[:, :250]
    plain, _ = laid_table(np.zeros((HEIGHT, WIDTH)), 1.0)
    lost = measured(plain, occupied).value.fraction
    lost -= measured(pixels, occupied).value.fraction
    assert lost > 0.3  # of the 0.42 of the frame that the shelf fills


def test_cluttered_surface_is_not_empty():
    rng = np.random.default_rng(5)
    clutter = resize(rng.integers(0, 255, (12, 18, 3)).astype(float), (HEIGHT, WIDTH, 3), order=0)
    pixels = clutter.astype(np.uint8)
    pixels[:, 300:] = 170
    space = measured(pixels, np.zeros((HEIGHT, WIDTH), dtype=bool)).value
    assert space.fraction == pytest.approx(0.5, abs=0.08)
    assert space.side == "right"
    assert space.largest_region_bbox.left > 0.4


@pytest.mark.parametrize(
    ("place", "side"),
    [((450, 200), "left"), ((150, 200), "right"), ((300, 300), "top"), ((300, 100), "bottom")],
)
def test_side_is_opposite_the_thing(place, side):
    pixels, occupied = with_disc(cloth("plain"), *place, 99)
    assert measured(pixels, occupied).value.side == side
    mirror = {"left": "right", "right": "left"}.get(side, side)
    assert measured(pixels[:, ::-1], occupied[:, ::-1]).value.side == mirror


def test_side_is_around_a_thing_in_the_middle():
    pixels, occupied = with_disc(cloth("linen"), 300, 200, 110)
    space = measured(pixels, occupied).value
    assert space.side == "around"
    assert space.largest_region_bbox == pytest.approx((0, 0, 1, 1), abs=0.01)
    assert space.largest_region_fraction == pytest.approx(space.fraction)


def test_full_frame_has_no_negative_space():
    space = measured(cloth("plain"), np.ones((40, 60), dtype=bool)).value
    assert (space.fraction, space.side, space.largest_region_bbox) == (0, "none", None)
    assert space.largest_region_fraction == 0


def test_fraction_hardly_depends_on_the_size():
    pixels, occupied = with_disc(cloth("checks"), 420, 220, 110)
    half = measured(pixels[::2, ::2], occupied[::2, ::2]).value.fraction
    assert half == pytest.approx(measured(pixels, occupied).value.fraction, abs=0.01)


def test_uncertain_map_lowers_confidence():
    pixels, occupied = with_disc(cloth("plain"), 300, 200, 60)
    doubtful = np.where(occupied, 0.8, 0.3).astype(np.float32)
    sure = measured(pixels, occupied).confidence
    assert measured(pixels, occupied, doubtful).confidence < sure - 0.1


def test_side_needs_a_clear_majority():
    empty = np.ones((100, 100), dtype=bool)
    empty[40:60, 52:60] = False
    assert side_of(emptiness(empty)) == "around"


# Drawn just below and just above each threshold: the result must change between the two.

SMALL = (85, 128)  # of a frame at the working size; its diagonal is 153.7
FREE = np.ones(SMALL, dtype=bool)


def busy_share(lightness):
    """Busy share of a free frame in which only lightness, (85, 128), varies."""
    lab = np.zeros((*SMALL, 3))
    lab[..., 0] = lightness
    return busy_ground(lab, FREE).mean()


def columns_at(levels, width):
    """Repeating stripes of the given levels, (85, 128)."""
    x = np.arange(SMALL[1]) // width
    return np.broadcast_to(np.asarray(levels, dtype=float)[x % len(levels)], SMALL)


@pytest.mark.parametrize(("slope", "busy"), [(7.6, False), (8.4, True)])
def test_step_is_strong_from_8_units_over_1_percent_of_the_diagonal(slope, busy):
    # A blur keeps a ramp; three colours explain 8/9 of it.
    ramp = np.arange(SMALL[1]) * slope / (np.hypot(*SMALL) / 100)
    assert (busy_share(np.broadcast_to(ramp, SMALL)) > 0.5) == busy


@pytest.mark.parametrize(("width", "busy"), [(8, True), (14, False)])
def test_ground_is_busy_where_strong_steps_fill_half_of_it(width, busy):
    # A step of 60 blurred by 2.3 px is steeper than 5.2 a pixel over 5.4 px (a Gaussian's slope).
    stairs = np.arange(SMALL[1]) // width * 60.0
    assert (busy_share(np.broadcast_to(stairs, SMALL)) > 0.5) == busy


@pytest.mark.parametrize(("levels", "busy"), [((0, 120, 60), False), ((0, 120, 60, 180), True)])
def test_three_colours_are_a_pattern_and_four_are_not(levels, busy):
    # Of four evenly spaced levels three colours explain 0.90 of the variance.
    assert (busy_share(columns_at(levels, 8)) > 0.5) == busy


@pytest.mark.parametrize(("width", "busy"), [(2, False), (4, True)])
def test_stripes_of_four_colours_blur_away_where_they_are_fine(width, busy):
    # A blur of 2.3 px leaves 0.20 of a wave of 8 px and 0.67 of one of 16 px (Gaussian's spectrum).
    assert (busy_share(columns_at((0, 120, 60, 180), width)) > 0.5) == busy


@pytest.mark.parametrize(("width", "busy"), [(7, False), (9, True)])
def test_band_of_steep_ground_is_busy_where_it_fills_its_neighbourhood(width, busy):
    # Blurred by 4.6 px, a band keeps half at its centre if it is 1.35 times as wide, plus a little
    # for its soft ends.
    ramp = np.clip(np.arange(SMALL[1]) - 60, 0, width) * 10.4
    assert (busy_share(np.broadcast_to(ramp, SMALL)) > 0) == busy


@pytest.mark.parametrize(("unexplained", "busy"), [(0.06, False), (0.1, True)])
def test_pattern_is_explained_to_0_92_by_few_colours(unexplained, busy):
    # Fine noise with the given share of the variance; the blur removes it.
    stripes = columns_at((0, 120), 6)
    spread = 60 * np.sqrt(unexplained / (1 - unexplained))
    noise = np.zeros((*SMALL, 3))
    noise[..., 1:] = np.random.default_rng(1).normal(0, spread / np.sqrt(2), (*SMALL, 2))
    lab = noise + np.stack([stripes, 0 * stripes, 0 * stripes], axis=-1)
    assert (busy_ground(lab, FREE).mean() > 0.3) == busy


@pytest.mark.parametrize(("rows", "side"), [(8, "none"), (12, "top")])
def test_less_than_a_tenth_is_no_space(rows, side):
    empty = np.zeros((100, 100), dtype=bool)
    empty[:rows] = True
    assert side_of(emptiness(empty)) == side


@pytest.mark.parametrize(("more", "side"), [(0.08, "around"), (0.12, "left")])
def test_side_needs_a_tenth_more_than_the_other_half(more, side):
    empty = np.zeros((100, 100), dtype=bool)
    empty[: round(50 * (1 + more)), :50] = True
    empty[: round(50 * (1 - more)), 50:] = True
    empty[:, 50:] = empty[::-1, 50:]  # so that the upper and lower halves are equal
    assert side_of(emptiness(empty)) == side


def test_doubt_is_at_least_what_the_fitted_tables_leave():
    # All of the 59 most confident of 238 tables were right: 60 / 61 by Laplace's rule of
    # succession.
    pixels, occupied = with_disc(cloth("plain"), 300, 200, 60)
    space = measured(pixels, occupied)
    assert space.tolerance == 0.05  # the tolerance for which those 59 were right
    assert 1 / 61 <= space.doubt < 0.05


@pytest.mark.parametrize(("radius", "bare"), [(27, True), (31, False)])  # 0.0095 and 0.0126
def test_a_nearly_empty_frame_has_more_doubt(radius, bare):
    pixels, occupied = with_disc(cloth("plain"), 300, 200, radius)
    assert (measured(pixels, occupied).doubt > 0.1) == bare


def test_doubt_beyond_the_fitted_tables_is_not_extrapolated():
    pixels, occupied = with_disc(cloth("plain"), 300, 200, 60)
    confidences = [
        measured(pixels, occupied, np.abs(occupied - np.float32(doubt))).confidence
        for doubt in (0.05, 0.07, 0.2)
    ]
    assert confidences[0] > confidences[1] == confidences[2]  # exp(-2.81) is 0.06


@pytest.mark.parametrize("shape", [(6000, 4), (4, 6000)])
def test_narrow_strip_is_too_small(shape):
    space = measured(np.full((*shape, 3), 120, np.uint8), np.zeros((8, 8), dtype=bool))
    assert space.reason is Reason.TOO_SMALL


def test_emptiness_knows_its_halves():
    empty = np.zeros((100, 100), dtype=bool)
    empty[:50, :80] = True
    area = emptiness(empty)
    # 50 columns left and 30 right of 80; all rows in the upper half.
    assert area.fraction == pytest.approx(0.4)
    assert area.to_right == pytest.approx((30 - 50) / 80)
    assert area.to_bottom == -1.0
    assert emptiness(np.zeros((9, 9), dtype=bool)) == Emptiness(0.0, 0.0, 0.0)


@pytest.mark.parametrize("kind", ["plain", "linen", "soft shadow", "horizon"])
def test_plain_ground_is_the_same_in_both_views(kind):
    pixels, occupied = with_disc(cloth(kind), 300, 200, 100)
    space = measured(pixels, occupied).value
    assert space.fraction - space.plain.fraction < 0.03
    assert doubt_of_pattern(space) < 0.2


def test_granite_counts_as_empty_in_one_view_only():
    rng = np.random.default_rng(8)
    specks = resize(rng.uniform(40, 220, (100, 150)), (HEIGHT, WIDTH), order=1)
    granite = np.repeat(specks[..., np.newaxis], 3, axis=2).astype(np.uint8)
    space = measured(*with_disc(granite, 300, 200, 100)).value
    assert space.fraction > 0.8
    assert space.plain.fraction < 0.1
    assert doubt_of_pattern(space) == pytest.approx(0.55)


def test_an_empty_frame_of_one_view_has_no_doubt_of_pattern():
    assert doubt_of_pattern(NegativeSpace(0.5, None, 0.5, "left")) == 0.0
