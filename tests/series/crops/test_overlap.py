"""Comparing two pictures where one lies on the other."""

import numpy as np
import pytest
from scipy.ndimage import gaussian_filter

from auditor.colorimetry import cell_means
from auditor.series.crops.framing import Frame, Framing
from auditor.series.crops.overlap import ReducedPicture, compare_overlap

SIDE = 960  # pixels of the scene: ten a cell of the whole


def scene(seed=0):
    """Lightness of a soft, varied scene."""
    rng = np.random.default_rng(seed)
    waves = sum(
        gaussian_filter(rng.normal(size=(SIDE, SIDE)), sigma, mode="wrap") * sigma
        for sigma in (12, 30, 80)
    )
    return 50 + 15 * waves / waves.std()


def reduced(lightness):
    height, width = lightness.shape
    longest = max(height, width)
    cells = cell_means(lightness, round(96 * height / longest), round(96 * width / longest))
    return ReducedPicture(cells.astype(np.float32), Frame(width / longest, height / longest))


LEFT, TOP, WIDTH, HEIGHT = 240, 120, 600, 480
TRUE = Framing(WIDTH / SIDE, LEFT / SIDE, TOP / SIDE)


def crop(lightness):
    return lightness[TOP : TOP + HEIGHT, LEFT : LEFT + WIDTH]


@pytest.mark.parametrize("off", [(0, 0, 0), (0.01, 0.005, -0.005), (-0.01, -0.008, 0.004)])
def test_a_crop_shows_the_same_and_its_place_is_refined(off):
    whole = scene()
    start = Framing(TRUE.scale + off[0], TRUE.x + off[1], TRUE.y + off[2])
    brighter = crop(whole) * 1.08 + 1.3
    found = compare_overlap(reduced(whole), reduced(brighter), start)
    assert found is not None
    assert found.correlation > 0.998
    assert found.detail_correlation > 0.99
    assert found.block_difference < 0.2
    assert (found.framing.scale, found.framing.x, found.framing.y) == pytest.approx(
        (TRUE.scale, TRUE.x, TRUE.y), abs=0.002
    )


def test_the_same_is_found_from_either_side():
    whole, part = reduced(scene(1)), reduced(crop(scene(1)))
    found = compare_overlap(part, whole, TRUE.inverse())
    assert found is not None
    assert found.detail_correlation > 0.99
    assert found.framing.inverse().x == pytest.approx(TRUE.x, abs=0.002)


def test_another_scene_is_seen_at_the_first_look():
    assert compare_overlap(reduced(scene(0)), reduced(crop(scene(1))), TRUE) is None


def test_a_thing_that_moved_shows_in_its_block():
    whole = scene(2)
    other = whole.copy()
    other[400:480, 500:580] = whole[700:780, 100:180]
    found = compare_overlap(reduced(whole), reduced(crop(other)), TRUE)
    assert found is not None
    assert found.correlation > 0.95
    assert found.block_difference > 0.7


def test_highlights_that_were_clipped_are_not_compared():
    whole = np.clip(scene(3) + 25, 0, 100)
    brighter = np.clip(whole * 1.08 + 1.3, 0, 100)
    assert (brighter == 100).mean() > 2 * (whole == 100).mean() > 0
    found = compare_overlap(reduced(whole), reduced(crop(brighter)), TRUE)
    assert found is not None
    assert found.correlation > 0.995


def test_white_alone_and_a_sliver_show_too_little():
    white = reduced(np.full((SIDE, SIDE), 100.0))
    assert compare_overlap(white, white, TRUE) is None
    whole = reduced(scene())
    assert compare_overlap(whole, whole, Framing(1.0, 0.9, 0.0)) is None
    assert compare_overlap(whole, whole, Framing(1.0, 2.0, 0.0)) is None
