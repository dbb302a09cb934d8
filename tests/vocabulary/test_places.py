"""Names of places, read and written."""

from __future__ import annotations

import numpy as np
import pytest

from auditor.vocabulary.places import PLACE_WORDS, place_words, point_of_place
from auditor.vocabulary.techniques import TECHNIQUES

# 1/phi = 0.6180339887..., 1 - 1/phi = 0.3819660112... (OEIS A094214), worked out by hand.
GOLDEN = {"near": 0.3819660113, "far": 0.6180339887}
THIRDS = {"near": 0.3333333333, "far": 0.6666666667}


@pytest.mark.parametrize("technique", [None, *TECHNIQUES])
def test_places_under_every_technique(technique):
    line = GOLDEN if technique == "golden ratio" else THIRDS
    near, far, middle = line["near"], line["far"], 0.5
    meant = {
        "centre": (middle, middle),
        "left": (near, middle),
        "right": (far, middle),
        "top": (middle, near),
        "bottom": (middle, far),
        "upper left": (near, near),
        "upper right": (far, near),
        "lower left": (near, far),
        "lower right": (far, far),
    }
    assert tuple(meant) == PLACE_WORDS
    for words, point in meant.items():
        assert point_of_place(words, technique) == pytest.approx(point, abs=1e-9)


@pytest.mark.parametrize(
    ("other", "words"),
    [
        ("center", "centre"),
        ("Middle", "centre"),
        ("upper", "top"),
        ("top left", "upper left"),
        ("bottom-right", "lower right"),
        ("right, upper", "upper right"),
        ("centre left", "left"),
        ("left of centre", "left"),
        ("right of the centre", "right"),
        ("top centre", "top"),
    ],
)
def test_other_ways_to_write_a_place(other, words):
    assert point_of_place(other, None) == point_of_place(words, None)


@pytest.mark.parametrize(
    "words", ["", "of", "of centre", "left of", "left right", "top bottom", "somewhere", "left 2"]
)
def test_words_that_name_no_place(words):
    assert point_of_place(words, None) is None


@pytest.mark.parametrize(
    ("x", "y", "words"),
    [
        (2 / 3, 1 / 3, "upper right"),
        (1 / 3, 2 / 3, "lower left"),
        (0.5, 0.5, "centre"),
        (0.5, 0.1, "upper centre"),
        (0.1, 0.5, "left of centre"),
        (0.4, 0.6, "centre"),  # the middle fifth, its edges included
        (0.399, 0.601, "lower left"),
    ],
)
def test_a_position_has_a_name(x, y, words):
    assert place_words(x, y) == words


@pytest.mark.parametrize("technique", [None, *TECHNIQUES])
def test_the_name_of_any_position_is_read_as_a_place_of_that_name(technique):
    names = {place_words(x, y) for x in np.linspace(0, 1, 41) for y in np.linspace(0, 1, 41)}
    assert len(names) == len(PLACE_WORDS)
    for name in names:
        assert place_words(*point_of_place(name, technique)) == name
