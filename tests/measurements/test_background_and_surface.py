"""Background and surface: drawn colours are recovered, with a dish in front of the table edge."""

import numpy as np
import pytest
from scipy.ndimage import gaussian_filter

from auditor.colorimetry import (
    colour_difference,
    lab_from_hex,
    lab_from_linear,
    linear_from_srgb,
    srgb_from_linear,
)
from auditor.measurements.background_and_surface import measure_background_and_surface
from auditor.measurements.background_and_surface.main_colour import main_colour
from auditor.measurements.background_and_surface.table_edge import find_table_edge
from auditor.reasons import Reason

WALL, TABLE, DISH = "#cfc7b6", "#6f6a63", "#e08a1e"
SHAPE = (300, 400)


def rgb(colour):
    return np.array([int(colour[i : i + 2], 16) for i in (1, 3, 5)], dtype=float)


def scene(edge=0.4, slope_deg=0.0, wall=WALL, table=TABLE, blur=0.0, fall_off=0.0, seed=0):
    """A table in front of a wall, with grain, and a dish that hides part of the edge; its mask."""
    y, x = np.mgrid[: SHAPE[0], : SHAPE[1]].astype(float)
    line = edge * SHAPE[0] - np.tan(np.radians(slope_deg)) * (x - SHAPE[1] / 2)
    pixels = np.where((y < line)[..., np.newaxis], rgb(wall), rgb(table))
    pixels *= (1 - fall_off * x / SHAPE[1])[..., np.newaxis]
    if blur:
        pixels = gaussian_filter(pixels, (blur, blur, 0))
    dish = np.hypot((x - 180) / 90, (y - 150) / 70) < 1
    pixels[dish] = rgb(DISH)
    pixels += np.random.default_rng(seed).normal(0, 5, pixels.shape)
    return np.clip(np.rint(pixels), 0, 255).astype(np.uint8), dish


def difference(quantity, colour):
    return colour_difference(quantity.value.lab, lab_from_hex(colour))


@pytest.mark.parametrize("edge", [0.2, 0.4, 0.6, 0.8])
@pytest.mark.parametrize("slope_deg", [-5.0, 0.0, 5.0])
def test_drawn_background_and_surface_are_recovered(edge, slope_deg):
    pixels, dish = scene(edge, slope_deg)
    found = measure_background_and_surface(pixels, dish, 15.0)
    assert difference(found.background, WALL) < 2
    assert difference(found.surface, TABLE) < 2
    free_above = ((np.mgrid[: SHAPE[0], : SHAPE[1]][0] < edge * SHAPE[0]) & ~dish).mean()
    assert found.background.value.share == pytest.approx(free_above, abs=0.05)
    assert found.background.confidence > 0.8


@pytest.mark.parametrize("elevation_deg", [None, 5.0, 25.0, 50.0])
def test_a_clear_edge_is_found_at_any_elevation_but_overhead(elevation_deg):
    found = measure_background_and_surface(*scene(), elevation_deg)
    assert difference(found.background, WALL) < 2


def test_overhead_there_is_only_a_surface():
    found = measure_background_and_surface(*scene(), 80.0)
    assert found.background.reason is Reason.ONLY_SURFACE
    assert difference(found.surface, TABLE) < 2


def test_a_blurred_edge_under_uneven_light_is_found():
    pixels, dish = scene(blur=3.0, fall_off=0.3)
    found = measure_background_and_surface(pixels, dish, 20.0)
    # The measured colour lies between the colour in full light and in the darkest part.
    for quantity, colour in ((found.background, WALL), (found.surface, TABLE)):
        darkest = lab_from_hex("#" + "".join(f"{round(v * 0.7):02x}" for v in rgb(colour)))
        assert darkest[0] < quantity.value.lab[0] < lab_from_hex(colour)[0]
        assert quantity.value.lab[1:] == pytest.approx(lab_from_hex(colour)[1:], abs=3)


@pytest.mark.parametrize("slope_deg", [-6.0, -3.0, 0.0, 3.0, 6.0])
def test_the_drawn_edge_is_recovered(slope_deg):
    height, width = 60, 80
    y, x = (np.mgrid[:height, :width] + 0.5) / np.array([height, width])[:, None, None]
    rise = np.tan(np.radians(slope_deg)) * width / height
    below = y > 0.4 - rise * (x - 0.5)
    lab = np.where(below[..., np.newaxis], [40.0, 5.0, 10.0], [70.0, 0.0, 0.0])
    edge = find_table_edge(lab, np.ones((height, width), dtype=bool))
    assert edge.left == pytest.approx(0.4 + rise / 2, abs=0.03)
    assert edge.right == pytest.approx(0.4 - rise / 2, abs=0.03)


@pytest.mark.parametrize(
    ("elevation_deg", "background", "surface"),
    [
        (50.0, Reason.ONLY_SURFACE, None),
        (25.0, Reason.ONLY_SURFACE, None),
        (5.0, None, Reason.ONLY_BACKGROUND),
        (None, Reason.ONLY_SURFACE, None),
    ],
)
def test_without_an_edge_there_is_only_background_or_only_surface(
    elevation_deg, background, surface
):
    pixels, dish = scene(wall=TABLE)
    found = measure_background_and_surface(pixels, dish, elevation_deg)
    assert found.background.reason is background
    assert found.surface.reason is surface


def test_a_fall_off_of_light_is_no_edge():
    y = np.linspace(1.0, 0.5, SHAPE[0])[:, np.newaxis, np.newaxis]
    pixels = np.broadcast_to(rgb(WALL) * y, (*SHAPE, 3)).astype(np.uint8)
    found = measure_background_and_surface(pixels, np.zeros((5, 5), dtype=bool), 30.0)
    assert found.background.reason is Reason.ONLY_SURFACE


def test_a_dark_stripe_does_not_tint_the_surface():
    pixels, dish = scene(wall=TABLE)
    pixels[220:260] = rgb("#202020")
    assert difference(measure_background_and_surface(pixels, dish, 80.0).surface, TABLE) < 2


def test_a_mirrored_picture_has_the_same_colours():
    pixels, dish = scene(0.4, 4.0)
    ours = measure_background_and_surface(pixels, dish, 15.0)
    mirrored = measure_background_and_surface(pixels[:, ::-1], dish[:, ::-1], 15.0)
    assert colour_difference(ours.background.value.lab, mirrored.background.value.lab) < 0.5
    assert colour_difference(ours.surface.value.lab, mirrored.surface.value.lab) < 0.5


def test_a_frame_full_of_food_has_neither_background_nor_surface():
    pixels, _ = scene()
    found = measure_background_and_surface(pixels, np.ones((10, 10), dtype=bool), 30.0)
    assert found.background.reason is Reason.ELEMENTS_FILL_FRAME
    assert found.surface.reason is Reason.ELEMENTS_FILL_FRAME


def lit(pixels, mask, factors):
    """Multiply the linear light of a part of a picture."""
    linear = linear_from_srgb(pixels / 255)
    linear[mask] *= factors
    return np.rint(255 * srgb_from_linear(np.clip(linear, 0, 1))).astype(np.uint8)


@pytest.mark.parametrize(("share", "shade_ev"), [(0.2, 2.0), (0.35, 1.0), (0.35, 1.4)])
def test_a_sunlit_patch_is_not_the_colour_of_the_wall(share, shade_ev):
    shaded, sun = "#586a6c", [4.0, 3.4, 2.6]  # the wall in skylight; 2 EV more and warmer
    pixels, dish = scene(edge=0.5, wall=shaded)
    y, x = np.mgrid[: SHAPE[0], : SHAPE[1]]
    wall = (y < 0.5 * SHAPE[0]) & ~dish
    patch = wall & (x > (1 - share) * SHAPE[1])
    # The shade is uneven and the patch is not, so that the patch has the most frequent colour.
    fall = 2.0 ** (shade_ev / 2 - shade_ev * x / ((1 - share) * SHAPE[1]))
    pixels = lit(lit(pixels, patch, sun), wall & ~patch, fall[wall & ~patch][:, np.newaxis])
    found = measure_background_and_surface(pixels, dish, 15.0)
    assert difference(found.background, shaded) < found.background.tolerance


def test_the_lit_part_and_the_shade_of_one_wall_are_one_colour():
    # Two fifths in light, two in half-shade, one in shade: no single shade covers most of it.
    colour = np.array([0.45, 0.30, 0.20])
    luminance = np.repeat([1.0, 0.55, 0.3], [40, 40, 20])
    found = main_colour(lab_from_linear(luminance[:, np.newaxis] * colour).astype(float))
    assert found.cover == 1.0
    assert found.lab == pytest.approx(lab_from_linear(0.55 * colour[np.newaxis])[0], abs=0.5)


def test_black_and_white_are_two_colours_though_both_are_neutral():
    lab = np.array([[95.0, 0, 0]] * 45 + [[8.0, 0, 0]] * 40 + [[50.0, 40, 30]] * 15)
    assert main_colour(lab) is None


def test_where_no_colour_covers_most_there_is_none():
    pixels, dish = scene()
    x = np.mgrid[: SHAPE[0], : SHAPE[1]][1]
    for n, colour in enumerate(("#b02020", "#2050b0", "#20a040")):
        pixels[x // 40 % 3 == n] = rgb(colour)
    found = measure_background_and_surface(pixels, dish, 80.0)
    assert found.surface.reason is Reason.NO_MAIN_COLOUR


def test_the_main_colour_does_not_depend_on_the_order_of_the_cells():
    rng = np.random.default_rng(3)
    lab = np.concatenate(
        [rng.normal([60, 5, 20], 4, (70, 3)), rng.normal([30, -20, 5], 4, (30, 3))]
    )
    assert main_colour(lab) == main_colour(lab[::-1])
