"""Keys that a plan may have although nothing reads them, and what is said of them."""

from __future__ import annotations

import re

import pytest

from auditor.plan.models import TABLES, known_keys
from auditor.plan.unknown_keys import letter_distance, meant_key

SHOT = '[[shot]]\nname = "tea"\n'
# What photographers note in a plan (from memory).
NOTES = re.findall(
    r"\w+",
    """
client mood notes note lens camera_model aperture iso shutter stylist styling recipe dish date time
location budget brief props_list story theme season usage deliverables priority done comment number
id story_board retouching wardrobe backdrop_supplier
""",
)


@pytest.mark.parametrize("key", NOTES)
def test_free_notes_are_ignored_and_said_to_be(plan_of, key):
    plan = plan_of(f'{key} = "x"\n[series]\n{key} = "x"\n{SHOT}{key} = "x"\n')
    assert plan.remarks == (f"ignored: {key} (nothing is compared with them)",)


def test_one_line_says_all(plan_of):
    plan = plan_of(
        'client = "x"\nmood = "y"\n' + SHOT + 'lens = "50 mm"\nsubject = { name = "kettle" }\n'
        '[[shot]]\nname = "b"\nlens = "35 mm"\n'
    )
    (remark,) = plan.remarks
    assert remark.startswith("ignored: client, mood, lens, subject.name (")


def test_of_many_the_first_are_named(plan_of):
    keys = "".join(f'{key} = "x"\n' for key in NOTES)
    (remark,) = plan_of(keys + SHOT).remarks
    assert f" and {len(NOTES) - 8} more (" in remark


def test_a_table_of_notes_is_ignored_too(plan_of):
    assert len(plan_of(f'{SHOT}[client]\nname = "x"\n').remarks) == 1


@pytest.mark.parametrize("table", [name for name in TABLES if name != "tolerance"])
def test_a_known_key_but_for_one_letter_is_a_mistake(table):
    for key in known_keys(table):
        if len(key) > 2:
            assert meant_key(table, key[:-1] + "x") is not None
            assert meant_key(table, key.upper().replace("_", "-")) == key


def test_in_tolerances_every_unknown_key_is_a_mistake(faults_of):
    (fault,) = faults_of(f"{SHOT}[tolerance]\nmood = 1\n")
    assert "known are" in fault.message


def test_a_key_of_another_table_is_a_mistake(faults_of):
    (fault,) = faults_of(f"{SHOT}fraction = 0.4\n")
    assert "in negative_space" in fault.message


def test_another_usual_name_of_a_key_is_a_mistake(faults_of):
    (fault,) = faults_of(f'name = "Winter"\n{SHOT}')
    assert "did you mean title?" in fault.message


def test_a_technique_that_nothing_measures_is_named(plan_of):
    (remark,) = plan_of(f'{SHOT}technique = ["layers", "thirds"]\n').remarks
    assert remark == "not measured, so undecided: layers (judge it by eye)"


def test_a_misspelt_head_is_one_fault(faults_of):
    (fault,) = faults_of('[[shots]]\nname = "tea"\n')
    assert (fault.key, fault.line) == ("shots", 1)
    assert "did you mean shot?" in fault.message


def test_a_note_that_only_resembles_a_table_is_a_note(plan_of):
    assert len(plan_of('shoot = "winter"\n' + SHOT).remarks) == 1


# Worked out by hand.
@pytest.mark.parametrize(
    ("first", "second", "distance"),
    [
        ("light", "light", 0),
        ("ligth", "light", 1),  # exchanged
        ("lght", "light", 1),  # missing
        ("lighht", "light", 1),  # too many
        ("kight", "light", 1),  # wrong
        ("lens", "light", 4),
        ("", "abc", 3),
    ],
)
def test_letters_that_differ(first, second, distance):
    assert letter_distance(first, second) == distance
    assert letter_distance(second, first) == distance
