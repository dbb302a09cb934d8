"""Matching of keypoints: the same ones are found, in different pictures only."""

import numpy as np
import pytest

from auditor.measurements.keypoints import PATCH_STEPS, DecodedKeypoints
from auditor.series.crops import matching
from auditor.series.crops.matching import LARGEST_PATCH_DIFFERENCE, MOST_OF_ONE_KEY, match_keypoints

N_WAVES = 24


def patches(n, seed):
    waves = np.random.default_rng(seed).normal(size=(n, N_WAVES))
    return waves / np.linalg.norm(waves, axis=1, keepdims=True)


def picture(waves):
    n = len(waves)
    return DecodedKeypoints(
        np.linspace(0, 1, n),
        np.linspace(1, 0, n),
        np.full(n, 0.02),
        np.arange(n) % 2 > 0,
        np.rint(waves * PATCH_STEPS).astype(np.int8),
    )


def noisy(waves, seed, noise=0.02):
    return waves + np.random.default_rng(seed).normal(0, noise, waves.shape)


def matched(pictures, labels=None, least=3):
    labels = np.arange(len(pictures)) if labels is None else np.array(labels)
    return list(match_keypoints(pictures, labels, least))


def test_keypoints_of_two_pictures_are_found_again():
    waves = patches(100, 0)
    pictures = [picture(waves), picture(patches(100, 1)), picture(noisy(waves, 2))]
    (pair,) = matched(pictures)
    assert (pair.first, pair.second) == (0, 2)
    same = pair.first_points == pair.second_points
    assert np.count_nonzero(same) >= 80
    assert np.count_nonzero(~same) <= 2


def test_what_is_matched_looks_the_same():
    waves = patches(300, 3)
    first, second = picture(waves), picture(noisy(waves, 4, noise=0.08))
    (pair,) = matched([first, second])
    apart = first.patch[pair.first_points].astype(float) - second.patch[pair.second_points]
    assert np.linalg.norm(apart, axis=1).max() <= LARGEST_PATCH_DIFFERENCE * PATCH_STEPS * 1.001


def test_pictures_of_one_label_are_not_compared():
    waves = patches(50, 5)
    pictures = [picture(waves)] * 3
    assert {(pair.first, pair.second) for pair in matched(pictures)} == {(0, 1), (0, 2), (1, 2)}
    found = matched(pictures, labels=[7, 7, 1])
    assert {(pair.first, pair.second) for pair in found} == {(0, 2), (1, 2)}


def test_dark_and_bright_spots_are_never_the_same():
    waves = patches(2, 6)[[0, 0, 1, 1]]
    (pair,) = matched([picture(waves)] * 2)
    assert np.all(pair.first_points % 2 == pair.second_points % 2)


def test_pairs_with_few_matches_are_left_out():
    waves = patches(20, 7)
    pictures = [picture(waves), picture(waves[:4])]
    assert len(matched(pictures, least=4)) == 1
    assert matched(pictures, least=5) == []


def test_a_pattern_that_fills_pictures_tells_nothing():
    pattern = np.repeat(patches(1, 8), 2 * MOST_OF_ONE_KEY, axis=0)
    assert matched([picture(pattern)] * 2) == []
    few = pattern[: MOST_OF_ONE_KEY // 4]
    assert len(matched([picture(few)] * 2)) == 1


def test_a_set_without_keypoints_has_no_matches():
    assert matched([]) == []
    assert matched([picture(np.zeros((0, N_WAVES)))] * 2) == []


@pytest.mark.parametrize("n_unsure", [0, 5])
def test_unsure_waves_are_tried_both_ways(monkeypatch, n_unsure):
    monkeypatch.setattr(matching, "N_UNSURE_WAVES", n_unsure)
    waves = patches(300, 9)
    found = sum(
        len(pair.first_points) for pair in matched([picture(waves), picture(noisy(waves, 10))])
    )
    assert (found > 240) == (n_unsure > 0)
