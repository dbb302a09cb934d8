"""One picture against all others: known changes of real pictures are found."""

import numpy as np
import pytest
from skimage import data

from auditor.colorimetry import (
    LINEAR_FROM_BYTE,
    XYZ_FROM_LINEAR,
    cone_ratios_from_linear,
    shift_mired,
)
from auditor.colorimetry.srgb import srgb_from_linear
from auditor.colour_signature import cells_of, colour_signature, mired_from_warmth
from auditor.series.colour import leave_one_out

# A photograph that comes with scikit-image, coffee on a wooden table: windows of it are a set.
TABLE = data.coffee()
NOTHING = np.zeros((4, 4), dtype=bool)


def signature(linear):
    pixels = np.rint(srgb_from_linear(np.clip(linear, 0, 1)) * 255).astype(np.uint8)
    return colour_signature(cells_of(pixels, NOTHING))


def windows(n):
    """Parts of one table, each exposed a little differently."""
    exposures = np.random.default_rng(4).normal(0, 0.15, n)
    return [
        LINEAR_FROM_BYTE[TABLE[12 * k : 12 * k + 260, 14 * k : 14 * k + 420]].astype(float)
        * 2.0 ** exposures[k]
        for k in range(n)
    ]


def with_saturation(linear, factor):
    grey = (linear @ XYZ_FROM_LINEAR[1])[..., np.newaxis]
    return grey + factor * (linear - grey)


def changes_of_white(signatures):
    return list(leave_one_out.changes_of_white(signatures).of.values())


def changes_of_saturation(signatures):
    return list(leave_one_out.changes_of_saturation(signatures).of.values())


def against(changes, odd):
    """Amount of the odd picture over the median, and whether it has the greatest gain."""
    usual = np.median([change.amount for change in changes])
    return changes[odd].amount - usual, max(changes, key=lambda change: change.gain)


@pytest.mark.parametrize("mired", [-50.0, -35.0, -20.0, 20.0, 35.0, 50.0])
def test_a_known_change_of_white_is_found(mired):
    pictures = windows(8)
    pictures[3] = shift_mired(pictures[3], mired)
    changes = changes_of_white([signature(picture) for picture in pictures])
    warmer, greatest = against(changes, 3)
    found = mired_from_warmth(warmer) - mired_from_warmth(0.0)
    assert found == pytest.approx(mired, abs=max(5.0, 0.15 * abs(mired)))
    assert greatest is changes[3]


@pytest.mark.parametrize("factor", [0.5, 0.7])
def test_a_known_loss_of_saturation_is_found(factor):
    pictures = windows(8)
    pictures[5] = with_saturation(pictures[5], factor)
    changes = changes_of_saturation([signature(picture) for picture in pictures])
    octaves, greatest = against(changes, 5)
    # By the pixels themselves: how far they come nearer to the neutral, in cone ratios.
    before, after = (
        np.linalg.norm(cone_ratios_from_linear(linear[::4, ::4]), axis=-1)
        for linear in (windows(8)[5], pictures[5])
    )
    coloured = before > np.quantile(before, 0.2)
    expected = np.log2(np.median(after[coloured] / before[coloured]))
    assert octaves == pytest.approx(expected, abs=0.25)
    assert greatest is changes[5]


def test_more_loss_is_more_change():
    amounts = []
    for factor in (1.0, 0.8, 0.6, 0.4):
        pictures = windows(8)
        pictures[2] = with_saturation(pictures[2], factor)
        amounts.append(changes_of_saturation([signature(p) for p in pictures])[2].amount)
    assert amounts == sorted(amounts, reverse=True)


@pytest.mark.parametrize("find", [changes_of_white, changes_of_saturation])
def test_an_untouched_set_gains_nothing(find):
    changes = find([signature(picture) for picture in windows(8)])
    assert max(change.gain for change in changes) < 0.3


@pytest.mark.parametrize("find", [changes_of_white, changes_of_saturation])
def test_the_likeliest_change_is_not_contradicted_and_a_wild_one_is(find):
    changes = find([signature(picture) for picture in windows(8)])
    assert not any(change.contradicts(change.amount) for change in changes)
    assert all(change.contradicts(change.amounts[-1]) for change in changes)


def test_a_picture_of_something_else_gains_little_by_any_change():
    rocket = LINEAR_FROM_BYTE[data.rocket()].astype(float)
    shifted = shift_mired(windows(8)[3], 35.0)
    gains = [
        changes_of_white([signature(picture) for picture in [*windows(7), odd]])[-1].gain
        for odd in (rocket, shifted)
    ]
    assert gains[0] < 0.5 * gains[1]


@pytest.mark.parametrize("find", [changes_of_white, changes_of_saturation])
def test_black_pictures_have_no_change(find):
    black = [signature(np.zeros((60, 60, 3)))] * 5
    assert all(change.amount == 0 and change.gain == 0 for change in find(black))
