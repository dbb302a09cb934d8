"""The list of words is made of the vocabulary, and what it lists is understood."""

from __future__ import annotations

import pytest

from auditor.errors import InvalidPlanError
from auditor.vocabulary.word_list import COLUMNS, sections, word_list

# How a phrase of each section is written in a plan.
FORMS = {
    'technique = "…"': 'technique = "{}"',
    'subject = { at = "…" }': 'subject = {{ at = "{}" }}',
    'subject = { size = "…" }': 'subject = {{ size = "{}" }}',
    "supporting = [ … ]": 'supporting = [ {{ at = "{}" }} ]',
    'camera_elevation = "…"': 'camera_elevation = "{}"',
    'light = "…"': 'light = "{}"',
    'negative_space = "…"': 'negative_space = "{}"',
    'diagonal = "…"': 'diagonal = "{}"',
    'colour_temperature = "…"': 'colour_temperature = "{}"',
    'aspect_ratio = "…"': 'aspect_ratio = "{}"',
    'palette, background, surface = "…"': 'surface = "{}"',
}
EXPLAINED = ("…", "[", "{", '"')  # marks of what is an example of a form, not a phrase


def listed_phrases():
    for section in sections():
        for line in section.listed:
            for words in (line.words, *line.also):
                if not any(mark in words for mark in EXPLAINED):
                    yield from ((section.head, phrase) for phrase in words.split(", "))


NUMBERS_ALONE = {"30", "-30", "5600"}  # written without quotes


@pytest.mark.parametrize(("head", "phrase"), [*listed_phrases()])
def test_everything_that_is_listed_is_understood(plan_of, head, phrase):
    line = FORMS[head].format(phrase)
    if phrase in NUMBERS_ALONE:
        line = line.replace('"', "")
    try:
        plan_of(f'[[shot]]\nname = "a"\n{line}\n')
    except InvalidPlanError as error:
        pytest.fail(str(error))


def test_the_list_fits_a_terminal():
    text = word_list()
    assert text.endswith("\n")
    assert max(map(len, text.splitlines())) <= COLUMNS
    assert len(text.splitlines()) > 156


def test_every_section_has_a_form_and_meanings():
    assert [section.head for section in sections()] == list(FORMS)
    for section in sections():
        assert all(line.words and line.meaning for line in section.listed)
