"""Colours of subject and ground, echo and saturation: drawn and recovered."""

import numpy as np
import pytest
from skimage.draw import disk

from auditor.colorimetry import colour_difference, lab_from_hex, linear_from_lab, srgb_from_linear
from auditor.measurements.palette import measure_colours

TABLE, PLATE, ORANGE, LEAF = "#8f8a80", "#efece6", "#e08a1e", "#2f4a3c"
HEIGHT, WIDTH = 300, 400


def rgb(colour):
    return [int(colour[i : i + 2], 16) for i in (1, 3, 5)]


def scene(echoes=(), plate=PLATE):
    """Orange food on a plate at the left; the plate is the subject. Echoes: (row, column, px)."""
    pixels = np.full((HEIGHT, WIDTH, 3), rgb(TABLE), dtype=np.uint8)
    mask = np.zeros((HEIGHT, WIDTH), dtype=np.bool_)
    pixels[disk((150, 110), 80)] = rgb(plate)
    mask[disk((150, 110), 80)] = True
    pixels[disk((150, 110), 50)] = rgb(ORANGE)
    for row, column, radius in echoes:
        pixels[disk((row, column), radius)] = rgb(ORANGE)
    return pixels, mask


def measured(echoes=(), **changes):
    pixels, mask = scene(echoes, **changes)
    return measure_colours(pixels, mask, mask)


def near(swatch, colour):
    return colour_difference(swatch.lab, lab_from_hex(colour)) < 2.5


def test_subject_and_ground_have_their_own_colours():
    colours = measured()
    whole = np.pi * 80**2 / (HEIGHT * WIDTH)
    plate, orange, *mixed = colours.subject_palette
    assert near(plate, PLATE)
    assert near(orange, ORANGE)
    assert sum(s.share for s in mixed) < 0.05 * whole  # cells with the edge of the food
    assert sum(s.share for s in colours.subject_palette) == pytest.approx(whole, abs=0.003)
    assert orange.share == pytest.approx(whole * (50 / 80) ** 2, abs=0.012)
    (table,) = colours.ground_palette
    assert near(table, TABLE)
    assert table.share == pytest.approx(1 - whole, abs=0.02)
    assert sum(swatch.share for swatch in colours.palette) == pytest.approx(1)


def test_an_element_is_neither_subject_nor_ground():
    pixels, mask = scene()
    pixels[disk((150, 320), 40)] = rgb(LEAF)
    occupied = mask.copy()
    occupied[disk((150, 320), 40)] = True
    colours = measure_colours(pixels, mask, occupied)
    assert not any(near(s, LEAF) for s in (*colours.subject_palette, *colours.ground_palette))
    assert any(near(s, LEAF) for s in colours.palette)


def test_the_echo_is_where_it_was_drawn():
    echo = measured([(80, 320, 24), (220, 330, 14)]).echo
    assert near(echo, ORANGE)
    drawn = [np.pi * radius**2 / (HEIGHT * WIDTH) for radius in (24, 14)]
    assert echo.share == pytest.approx(sum(drawn), abs=0.003)
    large, small = echo.places
    assert large.centroid == pytest.approx((320 / WIDTH, 80 / HEIGHT), abs=0.01)
    assert small.centroid == pytest.approx((330 / WIDTH, 220 / HEIGHT), abs=0.01)
    assert large.share == pytest.approx(drawn[0], abs=0.002)
    assert large.bbox.left == pytest.approx((320 - 24) / WIDTH, abs=0.01)


def test_a_picture_without_echo_has_share_0():
    echo = measured().echo
    assert (echo.share, echo.places) == (0, ())


def test_a_speck_is_no_echo():
    assert measured([(80, 320, 5)]).echo.places == ()  # 0.07 % of the frame


def test_the_main_colour_is_that_of_the_food_not_of_the_plate():
    # The plate is the larger part of the subject, but another plate is no echo of the food.
    pixels, mask = scene()
    pixels[disk((150, 320), 40)] = rgb(PLATE)
    assert measure_colours(pixels, mask, mask).echo.places == ()


def test_without_a_subject_there_is_no_echo():
    pixels, mask = scene()
    colours = measure_colours(pixels, np.zeros_like(mask), np.zeros_like(mask))
    assert (colours.subject_palette, colours.echo) == ((), None)


def test_a_frame_full_of_elements_has_no_ground():
    pixels, mask = scene()
    assert measure_colours(pixels, mask, np.ones_like(mask)).ground_palette == ()


def test_a_mirrored_picture_has_a_mirrored_echo():
    pixels, mask = scene([(80, 320, 24)])
    mirrored = measure_colours(pixels[:, ::-1], mask[:, ::-1], mask[:, ::-1])
    ours = measure_colours(pixels, mask, mask)
    assert [s.hex for s in mirrored.palette] == [s.hex for s in ours.palette]
    assert mirrored.echo.places[0].centroid.x == pytest.approx(1 - ours.echo.places[0].centroid.x)


@pytest.mark.parametrize("factor", [0.25, 0.5, 0.75])
def test_saturation_falls_by_the_factor_of_the_chroma(factor):
    lab = np.random.default_rng(2).uniform([45, -12, -4], [65, 20, 40], (12, 16, 3))
    pixels = []
    for scale in (1.0, factor):
        scaled = np.kron(lab, np.ones((20, 20, 1))) * [1, scale, scale]
        pixels.append(np.rint(srgb_from_linear(linear_from_lab(scaled)) * 255).astype(np.uint8))
    nothing = np.zeros((24, 32), dtype=np.bool_)
    full, less = (measure_colours(p, nothing, nothing).saturation for p in pixels)
    assert full.mean_chroma == pytest.approx(np.hypot(lab[..., 1], lab[..., 2]).mean(), rel=0.01)
    for name in ("mean_chroma", "median_chroma", "high_chroma"):
        assert getattr(less, name) / getattr(full, name) == pytest.approx(factor, rel=0.03)
