"""Names of the directions of a diagonal."""

from __future__ import annotations

import pytest

from auditor.geometry import Point, line_angle_deg
from auditor.vocabulary.diagonals import DIAGONAL_WORDS, diagonal_words, slope_word


@pytest.mark.parametrize(
    ("start", "end", "word"),
    [
        (Point(0.1, 0.9), Point(0.9, 0.1), "rising"),  # from the lower left to the upper right
        (Point(0.1, 0.1), Point(0.9, 0.9), "falling"),
    ],
)
def test_a_line_rises_or_falls_as_it_is_seen(start, end, word):
    angle_deg = line_angle_deg(start, end, 4, 5)
    assert slope_word(angle_deg) == diagonal_words(angle_deg) == word


def test_a_level_line_is_called_level():
    assert diagonal_words(0.0) == "level"


def test_the_name_of_any_slanted_line_is_a_word_of_the_plan():
    angles = [deg for deg in range(-89, 90) if deg != 0]
    assert {diagonal_words(deg) for deg in angles} == set(DIAGONAL_WORDS) - {"none"}
