"""Other ways to write the names of techniques."""

from __future__ import annotations

from auditor.measurements.technique_fit import DIVISIONS
from auditor.vocabulary.plain_words import plain_words
from auditor.vocabulary.techniques import TECHNIQUE_SYNONYMS, TECHNIQUES, technique_name


def test_every_technique_is_its_own_usual_name():
    assert [technique_name(technique.upper()) for technique in TECHNIQUES] == list(TECHNIQUES)
    assert TECHNIQUES[: len(DIVISIONS)] == tuple(DIVISIONS)


def test_every_synonym_leads_to_a_technique():
    for synonym, technique in TECHNIQUE_SYNONYMS.items():
        assert synonym == plain_words(synonym)  # or it would never be found
        assert technique in TECHNIQUES
        assert synonym not in TECHNIQUES


def test_an_unknown_name_stays():
    assert technique_name("Rule-of-Fifths") == "rule of fifths"
