"""Other ways to write the names of techniques."""

from __future__ import annotations

from auditor.measurements.technique_fit import DIVISIONS
from auditor.vocabulary.techniques import PLANNED_TECHNIQUES, TECHNIQUES, technique_name


def test_every_technique_is_its_own_usual_name():
    assert [technique_name(technique.upper()) for technique in TECHNIQUES] == list(TECHNIQUES)
    assert TECHNIQUES[: len(DIVISIONS)] == tuple(DIVISIONS)


def test_every_technique_that_is_measured_can_be_planned():
    assert [one.words for one in PLANNED_TECHNIQUES][: len(TECHNIQUES)] == list(TECHNIQUES)


def test_every_other_way_to_write_a_technique_leads_to_it_and_to_no_other():
    forms = [(form, one.words) for one in PLANNED_TECHNIQUES for form in (one.words, *one.also)]
    assert len({form.casefold() for form, _ in forms}) == len(forms)
    for form, name in forms:
        assert technique_name(form.upper()) == name


def test_an_unknown_name_is_none():
    assert technique_name("Rule-of-Fifths") is None
