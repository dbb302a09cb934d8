"""Difference energies, also in frames so small that the outermost tiles have no differences."""

import numpy as np
import pytest

from auditor.measurements.focus import measure_focus
from auditor.measurements.focus.differences import DOWN, difference_energies

# In a frame of 64 px a tile is 2 px wide, and coarse differences end 2 px from each side.
SMALLEST = (64, 64)


def noise(shape, seed=0):
    return np.random.default_rng(seed).integers(0, 256, shape, dtype=np.uint8)


@pytest.mark.parametrize("shape", [SMALLEST, (64, 65), (65, 64), (480, 600)])
def test_every_tile_has_an_energy(shape):
    energies = difference_energies(noise(shape))
    for of_span in (energies.fine, energies.coarse):
        assert np.isfinite(of_span).all()
        assert (of_span > 0).all()


def test_a_tile_without_differences_takes_the_outermost_ones():
    plane = np.zeros(SMALLEST, np.uint8)
    plane[:, 32:] = 90  # one edge in the middle, and none at the sides
    ramp = np.tile(np.arange(64, dtype=np.uint8), (64, 1))
    edge, slope = difference_energies(plane).coarse, difference_energies(ramp).coarse
    assert (edge[..., 0].max(), edge[..., -1].max()) == (0, 0)
    across = np.delete(np.arange(4), DOWN)
    assert slope[across] == pytest.approx(16)  # four pixels, one level each


def test_the_smallest_frame_mirrors_with_the_picture():
    plane = noise(SMALLEST)
    one, other = difference_energies(plane), difference_energies(plane[:, ::-1])
    assert other.coarse[0] == pytest.approx(one.coarse[0][:, ::-1])


def test_the_smallest_frame_can_be_in_focus():
    generator = np.random.default_rng(2)
    squares = np.kron(generator.integers(40, 220, (8, 8)), np.ones((8, 8))).astype(np.uint8)
    detail = np.repeat(squares[..., np.newaxis], 3, axis=2)
    focus = measure_focus(detail, np.pad(np.ones((32, 32), dtype=bool), 16))
    assert focus.value is not None
    assert focus.value.subject_in_focus
