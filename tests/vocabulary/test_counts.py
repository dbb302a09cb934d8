"""Counts with their nouns."""

from __future__ import annotations

import pytest

from auditor.vocabulary.counts import count


@pytest.mark.parametrize(
    ("arguments", "text"),
    [
        ((0, "picture"), "0 pictures"),
        ((1, "picture"), "1 picture"),
        ((2, "picture"), "2 pictures"),
        ((1, "dish", "dishes"), "1 dish"),
        ((3, "dish", "dishes"), "3 dishes"),
    ],
)
def test_the_noun_agrees_with_the_count(arguments, text):
    assert count(*arguments) == text
