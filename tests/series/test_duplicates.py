"""Near-duplicates and the groups that they make."""

from itertools import combinations

import numpy as np
import pytest

from auditor.measurements.fingerprint import (
    NEAR_DUPLICATE_DIFFERENCE,
    fingerprint,
    fingerprint_difference,
)
from auditor.series import duplicates
from auditor.series.alike import AlikePictures, join_alike
from auditor.series.duplicates import find_duplicates
from tests.factories import measured_photograph


def drawn_set(n):
    """A few scenes, each photographed several times with the camera moved a little."""
    rng = np.random.default_rng(n)
    scenes = [
        np.kron(rng.integers(0, 255, (6, 5, 3)), np.ones((20, 20, 1))).astype(np.uint8)
        for _ in range(4)
    ]
    moved = [np.roll(scenes[k % 4], int(rng.integers(0, 6)), axis=1) for k in range(n)]
    return [
        measured_photograph(file=f"{k}.jpg", fingerprint=fingerprint(pixels), sha256=f"{k:064x}")
        for k, pixels in enumerate(moved)
    ]


@pytest.mark.parametrize("at_once", [5, 512])
def test_the_pairs_are_those_of_every_two_fingerprints(monkeypatch, at_once):
    monkeypatch.setattr(duplicates, "PICTURES_AT_ONCE", at_once)
    pictures = drawn_set(23)
    expected = tuple(
        (first.file, second.file)
        for first, second in combinations(pictures, 2)
        if fingerprint_difference(first.fingerprint, second.fingerprint)
        <= NEAR_DUPLICATE_DIFFERENCE
    )
    assert 20 < len(expected) < 23 * 22 / 2
    assert find_duplicates(pictures) == expected


def test_a_set_of_none_and_of_one_have_no_duplicates():
    assert find_duplicates([]) == ()
    assert find_duplicates(drawn_set(1)) == ()
    assert join_alike(drawn_set(1), ()) == ()


def named(**hashes):
    return [measured_photograph(file=file, sha256=sha256) for file, sha256 in hashes.items()]


def test_pairs_are_joined_to_groups_in_the_order_of_the_set():
    pictures = named(a="1", b="2", c="3", d="4", e="5", f="6")
    found = join_alike(pictures, [("b", "d"), ("a", "f"), ("d", "e")])
    assert found == (
        AlikePictures(("a", "f"), same_file=False),
        AlikePictures(("b", "d", "e"), same_file=False),
    )


def test_copies_of_a_file_are_a_group_and_the_first_stands_for_them():
    pictures = named(a="1", b="1", c="2")
    found = join_alike(pictures, [("a", "b"), ("a", "c"), ("b", "c")])
    assert found == (
        AlikePictures(("a", "b"), same_file=True),
        AlikePictures(("a", "c"), same_file=False),
    )
    assert join_alike(pictures, [("a", "b")]) == (AlikePictures(("a", "b"), same_file=True),)


def test_of_very_many_pairs_only_those_are_listed_that_join_the_same_groups(monkeypatch):
    pictures = drawn_set(40)
    every = find_duplicates(pictures)
    monkeypatch.setattr(duplicates, "MOST_PAIRS", 30)
    monkeypatch.setattr(duplicates, "PICTURES_AT_ONCE", 7)
    few = find_duplicates(pictures)
    assert len(few) < len(pictures) < len(every)
    assert set(few) <= set(every)
    assert join_alike(pictures, few) == join_alike(pictures, every)
