"""Halos: against unsharp masking by Pillow, on drawn edges whose areas are known."""

import numpy as np
import pytest
from PIL import Image, ImageFilter

from auditor.delivery.halos import measure_halos

DARK, BRIGHT = 80, 170


def drawn_edges(angle_deg=0.0, blur=0.6):
    """Bars of two known values between even areas, slightly soft as a lens draws them."""
    side, fine = 320, 8
    rows, columns = np.mgrid[: side * fine, : side * fine] / fine
    turn = np.deg2rad(angle_deg)
    across = columns * np.cos(turn) + rows * np.sin(turn)
    values = np.where(across % 80 < 40, DARK, BRIGHT).astype(np.uint8)
    drawn = Image.fromarray(values).reduce(fine)  # without steps at slanted edges
    return Image.merge("RGB", [drawn] * 3).filter(ImageFilter.GaussianBlur(blur))


def true_overshoot(image):
    """The smaller of what the extremes go beyond the areas, over the contrast of these."""
    inner = np.asarray(image)[20:-20, 20:-20, 1].astype(float)
    over, under = inner.max() - BRIGHT, DARK - inner.min()
    return max(0.0, min(over, under)) / (BRIGHT - DARK)


@pytest.mark.parametrize("radius", [0.8, 1.0, 1.5, 2.0])
@pytest.mark.parametrize("percent", [50, 100, 200])
def test_the_overshoot_is_that_of_the_drawing(radius, percent):
    image = drawn_edges().filter(ImageFilter.UnsharpMask(radius, percent, 0))
    found = measure_halos(np.asarray(image))
    assert found is not None
    assert found == pytest.approx(true_overshoot(image), abs=0.005)
    assert found > 0.01


@pytest.mark.parametrize("angle_deg", [0, 17, 45, 90, 133])
def test_the_direction_of_the_edge_changes_little(angle_deg):
    mask = ImageFilter.UnsharpMask(1.5, 150, 0)
    found = measure_halos(np.asarray(drawn_edges(angle_deg).filter(mask)))
    assert found is not None
    # A round mask: the halo of an upright edge is that of every other.
    upright = true_overshoot(drawn_edges().filter(mask))
    assert found == pytest.approx(upright, abs=0.05)


def test_edges_as_they_were_have_no_halos():
    found = measure_halos(np.asarray(drawn_edges()))
    assert found is not None
    assert found < 0.01


def test_more_sharpening_more_overshoot():
    values = [
        measure_halos(np.asarray(drawn_edges().filter(ImageFilter.UnsharpMask(1, p, 0))))
        for p in (0, 50, 100, 150, 200)
    ]
    assert values == sorted(values)
    assert len(set(values)) == len(values)


def test_a_bright_line_along_an_edge_is_no_halo():
    pixels = np.asarray(drawn_edges()).copy()
    lit = pixels.copy()
    lit[:, 42::80] = 240  # one side only: a glint on a rim
    found = measure_halos(lit)
    assert found is None or found < 0.02


@pytest.mark.parametrize(
    "pixels",
    [
        np.full((200, 200, 3), 128, np.uint8),
        np.full((12, 300, 3), 128, np.uint8),
        np.random.default_rng(1).integers(0, 255, (200, 200, 3), dtype=np.uint8),
        np.asarray(drawn_edges(blur=6)),
    ],
    ids=["even", "strip", "noise", "soft"],
)
def test_without_sharp_edges_between_even_areas_there_is_no_value(pixels):
    assert measure_halos(pixels) is None
