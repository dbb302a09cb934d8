"""Numbers in words."""

import pytest

from auditor.vocabulary.how_many import MOST_COUNTED, how_many, leading_number, listed_numbers


@pytest.mark.parametrize(
    ("text", "least", "most", "words"),
    [
        ("3", 3, 3, "3"),
        ("three", 3, 3, "3"),
        ("Twelve", 12, 12, "12"),
        ("exactly two", 2, 2, "2"),
        ("at least two", 2, MOST_COUNTED, "at least 2"),
        ("2 or more", 2, MOST_COUNTED, "at least 2"),
        ("more than 2", 3, MOST_COUNTED, "at least 3"),
        ("at most 4", 0, 4, "at most 4"),
        ("up to four", 0, 4, "at most 4"),
        ("fewer than 4", 0, 3, "at most 3"),
        ("6 to 9", 6, 9, "6 to 9"),
        ("6-9", 6, 9, "6 to 9"),
        ("six – nine", 6, 9, "6 to 9"),
        ("between 6 and 9", 6, 9, "6 to 9"),
        ("two or three", 2, 3, "2 to 3"),
        ("several", 3, MOST_COUNTED, "at least 3"),
        ("a few", 3, MOST_COUNTED, "at least 3"),
        ("none", 0, 0, "none"),
    ],
)
def test_words_for_numbers(text, least, most, words):
    accepted = how_many(text)
    assert (accepted.spans, accepted.words) == (((least, most),), words)
    assert least <= accepted.nominal <= most


@pytest.mark.parametrize(
    "text", ["", "many", "9 to 6", "2.5", "-3", "3 bowls", "at least", "2000", "fewer than 0"]
)
def test_what_is_no_number(text):
    assert how_many(text) is None


@pytest.mark.parametrize(
    ("name", "words", "rest"),
    [
        ("three bowls", "3", "bowls"),
        ("2 glasses", "2", "glasses"),
        ("a few leaves", "at least 3", "leaves"),
        ("Several  bay leaves", "at least 3", "bay leaves"),
        ("two glasses of tea", "2", "glasses of tea"),
        ("four small knives", "4", "small knives"),
    ],
)
def test_a_name_may_begin_with_its_number(name, words, rest):
    accepted, found = leading_number(name)
    assert (accepted.words, found) == (words, rest)


@pytest.mark.parametrize(
    "name",
    [
        "bowls",
        "five spice",
        "two-tone bowl",
        "7up can",
        "one bowl",
        "three",
        "second plate",
        "few",
        "two glass",
        "no bowls",
    ],
)
def test_a_name_that_is_one_thing(name):
    assert leading_number(name) is None


@pytest.mark.parametrize("line", listed_numbers(), ids=lambda line: line.words)
def test_every_way_to_write_a_listed_number_is_understood(line):
    same = [how_many(text) for text in (line.words, *line.also)]
    assert None not in same
    assert all(accepted == same[0] for accepted in same)
