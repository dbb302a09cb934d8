"""The palette: drawn colours are recovered with their shares."""

import numpy as np
import pytest

from auditor.colorimetry import colour_difference, lab_from_hex
from auditor.measurements.palette import MAX_COLOURS, MERGE_DIFFERENCE, measure_palette


def rgb(colour):
    return [int(colour[i : i + 2], 16) for i in (1, 3, 5)]


def drawn(shares, noise=4.0, shape=(240, 300), seed=0):
    """Vertical bands of colours with grain."""
    edges = np.rint(np.cumsum([0, *shares.values()]) * shape[1]).astype(int)
    pixels = np.zeros((*shape, 3))
    for colour, left, right in zip(shares, edges[:-1], edges[1:], strict=True):
        pixels[:, left:right] = rgb(colour)
    pixels += np.random.default_rng(seed).normal(0, noise, pixels.shape)
    return np.clip(np.rint(pixels), 0, 255).astype(np.uint8)


# The colours of a winter table: orange, leaf, linen, slate, grey-blue.
TABLE = {"#d8d2c4": 0.45, "#6f6a63": 0.25, "#2f4a3c": 0.15, "#e08a1e": 0.10, "#5b7c99": 0.05}


def nearest(swatches, colour):
    return min(swatches, key=lambda s: colour_difference(s.lab, lab_from_hex(colour)))


@pytest.mark.parametrize("colour", TABLE)
def test_drawn_colours_are_recovered_with_their_shares(colour):
    swatch = nearest(measure_palette(drawn(TABLE)), colour)
    assert colour_difference(swatch.lab, lab_from_hex(colour)) < 2
    assert swatch.share == pytest.approx(TABLE[colour], abs=0.015)


def test_shares_sum_to_one_and_decrease():
    shares = [s.share for s in measure_palette(drawn(TABLE))]
    assert sum(shares) == pytest.approx(1, abs=1e-9)
    assert shares == sorted(shares, reverse=True)
    assert len(shares) <= MAX_COLOURS


def test_shades_of_one_colour_are_one_colour():
    light = np.linspace(0.94, 1.06, 300)[np.newaxis, :, np.newaxis]
    pixels = np.clip(np.array(rgb("#6f6a63")) * light, 0, 255)
    swatches = measure_palette(np.broadcast_to(pixels, (200, 300, 3)).astype(np.uint8))
    assert len(swatches) == 1
    assert colour_difference(swatches[0].lab, lab_from_hex("#6f6a63")) < 1.5


def test_a_small_accent_is_kept():
    pixels = drawn({"#d8d2c4": 0.7, "#6f6a63": 0.3})
    pixels[100:130, 40:70] = rgb("#e04a1e")  # 1.25 % of the frame
    swatch = nearest(measure_palette(pixels), "#e04a1e")
    assert colour_difference(swatch.lab, lab_from_hex("#e04a1e")) < 4
    assert swatch.share == pytest.approx(0.0125, abs=0.004)


@pytest.mark.parametrize("seed", range(4))
def test_a_mirrored_picture_has_the_same_palette(seed):
    rng = np.random.default_rng(seed)
    blocks = rng.integers(0, 256, (7, 9, 3))
    pixels = np.kron(blocks, np.ones((37, 41, 1))).astype(np.uint8)
    for flipped in (pixels[:, ::-1], pixels[::-1]):
        again = measure_palette(flipped)
        assert [s.hex for s in again] == [s.hex for s in measure_palette(pixels)]


def test_two_runs_agree_to_the_last_digit():
    pixels = drawn(TABLE)
    assert measure_palette(pixels) == measure_palette(pixels.copy())


def test_shares_hardly_depend_on_the_size():
    large = drawn(TABLE, shape=(600, 800))
    for colour, share in TABLE.items():
        swatch = nearest(measure_palette(large), colour)
        assert swatch.share == pytest.approx(share, abs=0.015)


def test_colours_of_a_palette_differ_clearly():
    swatches = measure_palette(drawn(TABLE))
    for i, one in enumerate(swatches):
        for other in swatches[i + 1 :]:
            assert colour_difference(one.lab, other.lab) > MERGE_DIFFERENCE


@pytest.mark.parametrize("shape", [(1, 1), (3, 500), (2, 2)])
def test_tiny_and_narrow_pictures(shape):
    swatches = measure_palette(np.full((*shape, 3), 90, dtype=np.uint8))
    assert [s.hex for s in swatches] == ["#5a5a5a"]
