"""Assignments held against all possible ones, counted out."""

from itertools import product

import numpy as np
import pytest

from auditor.comparison.soft_assignment import guesses, probabilities, weights_for


def every(log_ratios, weights):
    """Each possible assignment with its weight in logarithms.

    A picture is of no shot, or a shot's first or a further one; no shot has two first ones.
    """
    n_shots, n_pictures = log_ratios.shape
    places = [(None, weights.none)]
    for shot in range(n_shots):
        places += [((shot, "first"), weights.first), ((shot, "further"), weights.further)]
    for given in product(places, repeat=n_pictures):
        firsts = [place for place, _ in given if place is not None and place[1] == "first"]
        if len(set(firsts)) == len(firsts):
            shots = [None if place is None else place[0] for place, _ in given]
            ratios = (log_ratios[shot, at] for at, shot in enumerate(shots) if shot is not None)
            yield shots, sum(ratios) + sum(logs for _, logs in given)


@pytest.mark.parametrize("seed", range(12))
def test_the_assignment_is_the_best_of_all(seed):
    log_ratios = np.random.default_rng(seed).normal(-1, 3, (3, 4))
    weights = weights_for(3, 4)
    best, _ = max(every(log_ratios, weights), key=lambda one: one[1])
    assert [guess.shot for guess in guesses(log_ratios)] == best


@pytest.mark.parametrize("seed", range(12))
def test_probabilities_are_nearly_those_of_all_assignments(seed):
    # The scaling is an approximation (it takes the places of the shots for independent); a tenth
    # is what a person may notice.
    log_ratios = np.random.default_rng([9, seed]).normal(0, 3, (3, 4))
    weights = weights_for(3, 4)
    exact = np.zeros((3, 4))
    whole = 0.0
    for given, logs in every(log_ratios, weights):
        whole += np.exp(logs)
        for at, shot in enumerate(given):
            if shot is not None:
                exact[shot, at] += np.exp(logs)
    assert probabilities(log_ratios, weights) == pytest.approx(exact / whole, abs=0.1)


def test_two_pictures_that_fit_two_shots_alike_are_even():
    first, second = guesses(np.full((2, 2), 8.0))
    assert {first.shot, second.shot} == {0, 1}
    assert first.probability == pytest.approx(0.5, abs=0.05)
    assert first.second != first.shot
    assert first.second_probability == pytest.approx(0.5, abs=0.05)


def test_a_picture_that_fits_no_shot_is_left_over_and_its_shot_missing():
    (guess,) = guesses(np.array([[-2.0], [-3.0]]))
    assert guess.shot is None
    assert guess.second == 0


def test_a_shot_may_have_several_pictures():
    assert [guess.shot for guess in guesses(np.array([[9.0, 9.0, 9.0], [-5.0, -5.0, -5.0]]))] == [
        0,
        0,
        0,
    ]


@pytest.mark.parametrize("shape", [(0, 3), (3, 0), (1, 1), (2, 7)])
def test_any_number_of_shots_and_pictures(shape):
    found = guesses(np.zeros(shape))
    assert len(found) == shape[1]
    assert all(0 <= guess.probability <= 1 for guess in found)


def test_very_large_ratios_do_not_overflow():
    (guess,) = guesses(np.array([[2000.0], [-2000.0]]))
    assert (guess.shot, guess.probability) == (0, pytest.approx(1))
