"""Each unit is explained once, where the page first shows it."""

import re

import pytest

from auditor.page.html import render_page
from auditor.page.unit_notes import UnitNotes
from auditor.wording.units import UNITS
from tests.records import audit, make_previews


def names(units):
    return [unit.name for unit in units]


def test_a_unit_is_explained_once():
    notes = UnitNotes()
    assert names(notes.shown("<p>darker (1.0 EV)</p>")) == ["EV"]
    assert names(notes.shown("<p>2 EV, 30 mired at 5000 K</p>")) == ["K", "mired"]
    assert notes.shown("<p>1 EV, 30 mired</p>") == ()


def test_what_is_folded_away_leaves_the_explanation_to_what_is_seen():
    notes = UnitNotes()
    assert names(notes.folded("<td>5 ΔE₀₀</td>")) == ["ΔE₀₀"]
    assert notes.folded("<td>6 ΔE₀₀</td>") == ()
    assert names(notes.shown("<p>7 ΔE₀₀</p>")) == ["ΔE₀₀"]


@pytest.mark.parametrize(
    "part",
    [
        "<title>3 EV</title><desc>4 mired</desc>",  # for those who cannot see the drawing
        '<svg aria-label="5000 K"></svg>',
        "<p>taken 20 November 2026, 10:30</p>",  # a time of day is no light
        "<p>Body 1, ISO 200</p>",
    ],
)
def test_what_is_no_unit_on_the_page_is_not_explained(part):
    assert UnitNotes().shown(part) == ()


@pytest.mark.parametrize(
    ("text", "name"),
    [
        ("0.36 of the diagonal", "of the diagonal"),
        ("half an hour of the clock dial", "clock position"),
        ("back light (12:15)", "clock position"),
        ("&Delta;E₀₀", "ΔE₀₀"),
    ],
)
def test_units_are_recognised(text, name):
    assert names(UnitNotes().shown(text)) == [name]


def test_the_page_explains_each_of_its_units_at_its_first_use(tmp_path):
    record = audit()
    page = render_page(record, make_previews(record, tmp_path))
    main = page[page.index("<main") :]
    for unit in UNITS:
        found = unit.pattern.search(re.sub(r"<(title|desc)\b[^<]*</\1>|<[^>]*>", "", main))
        explained = f"<b>{unit.name}</b>: "
        assert (found is not None) == (explained in main), unit.name
        # Once where it is seen; once more at most where it is folded away before.
        assert main.count(explained) <= 2
