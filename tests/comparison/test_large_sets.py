"""Matching of large sets: each picture is held against some others, without a table of all."""

import numpy as np
import pytest

from auditor.comparison import evidence
from auditor.comparison.evidence import compared_places
from auditor.comparison.hints import of_one_kind
from auditor.comparison.likeness import likeness
from auditor.comparison.soft_assignment import _best, weights_for
from tests.factories import measured_photograph


def test_a_small_set_is_compared_with_all_and_a_large_one_with_some(monkeypatch):
    assert compared_places(7).tolist() == list(range(7))
    monkeypatch.setattr(evidence, "MOST_COMPARED", 5)
    assert compared_places(21).tolist() == [0, 5, 10, 15, 20]


def test_the_table_has_a_row_for_each_picture_compared():
    pictures = [measured_photograph(file=f"{n}.jpg") for n in range(9)]
    places = np.array([1, 4, 8])
    assert likeness(pictures, places) == pytest.approx(likeness(pictures)[places])


def test_pictures_compared_say_what_all_would():
    rng = np.random.default_rng(2)
    kind = np.arange(400) % 2
    near = np.where(kind[:, np.newaxis] == kind, 0.9, 0.1)
    chances = np.where(np.arange(2)[:, np.newaxis] == kind, 0.9, 0.1) * rng.uniform(0.9, 1, 400)
    places = np.sort(rng.choice(400, 120, replace=False))
    some, every = of_one_kind(near[places], chances, places), of_one_kind(near, chances)
    assert (np.sign(some) == np.sign(every)).all()
    assert np.abs(some - every).max() < 0.1 < np.abs(every).min()


def test_the_best_assignment_of_many_pictures_needs_no_table_of_their_pairs():
    ratios = np.full((3, 5000), -4.0)  # a table of all pairs would hold 25 million numbers
    ratios[0, 17], ratios[1, 4000], ratios[2, 2] = 9.0, 9.0, 9.0
    given = _best(ratios, weights_for(3, 5000))
    assert (given[17], given[4000], given[2]) == (0, 1, 2)
