"""Phrases that mean nothing in a plan, and what the message must say so that one can act on it.

``python -m tests.plan.test_wrong_phrases`` prints each with its whole message, to be read by eye.
"""

from __future__ import annotations

import sys
import tempfile
from pathlib import Path

import pytest

from auditor.errors import InvalidPlanError
from auditor.plan.reading import read_plan

SHOT = '[[shot]]\nname = "tea"\n'
# A line of a shot, the key of its fault, and parts of the message.
WRONG = [
    # A light is no place: what is suggested has the written direction, or the message explains.
    ('light = "top left"', "light", ['write light = "back left"']),
    ('light = "lft"', "light", ['did you mean "left"?']),
    ('light = "bak left"', "light", ['did you mean "back left"?']),
    ('light = "east"', "light", ['"back right"', "the camera at 6"]),
    ('light = "left right"', "light", ['"side light"']),
    ('light = "warm"', "light", ["that is a colour temperature", 'colour_temperature = "warm"']),
    ('light = "daylight 5600K"', "light", ["that is a colour temperature"]),
    ('light = "13:00"', "light", ["the dial runs from 1:00 to 12:00", "the camera at 6"]),
    ("light = 13", "light", ["above 0 and at most 12"]),
    ("light = []", "light", ["this is empty: leave the line out"]),
    ('camera_elevation = "over head"', "camera_elevation", ['did you mean "overhead"?']),
    ('camera_elevation = "threequarter"', "camera_elevation", ['did you mean "three-quarter"?']),
    ('camera_elevation = "120 degrees"', "camera_elevation", ["between 0 (level) and 90"]),
    ('camera_elevation = "45 mm"', "camera_elevation", ["that is a lens", 'lens = "45 mm"']),
    ('camera_elevation = "left"', "camera_elevation", ["that is a direction of light or a place"]),
    (
        "camera_elevation = { at = 40 }",
        "camera_elevation",
        ["write it without braces: camera_elevation = 40"],
    ),
    ('technique = "rule of fourths"', "technique", ['did you mean "rule of thirds"?']),
    ('technique = "golden"', "technique", ['did you mean "golden ratio"?']),
    ('technique = "flat lay"', "technique", ['write camera_elevation = "flat lay"']),
    ('technique = "left"', "technique", ['subject = { at = "left" }']),
    ('technique = "bokeh"', "technique", ["focus cannot be planned"]),
    (
        'technique = "thirds and leading lines"',
        "technique",
        ["both at once", '["rule of thirds", "leading lines"]'],
    ),
    ('technique = "Z shape"', "technique", ['nearest are "S-curve" and "diagonals"']),
    ('technique = ["thirds", "bokeh"]', "technique", ['"bokeh" is not right']),
    ('subject = "kettle"', "subject", ['"upper right"', 'subject = { name = "…" }']),
    ('subject = "uper left"', "subject", ['did you mean "upper left"?']),
    ('subject = "backlit"', "subject", ['write light = "backlit"']),
    ('subject = "behind"', "subject", ['write "top"', 'light = "back"']),
    ("subject = 30", "subject", ['write 0.3 or "30%"']),
    ('subject = { at = "cetre" }', "subject.at", ['did you mean "centre"?']),
    ('subject = { size = "enormous" }', "subject.size", ['"large"', "a share of the frame"]),
    ("subject = { at = [33, 67] }", "subject.at", ["both between 0 and 1"]),
    ("subject = { sise = 0.2 }", "subject.sise", ["did you mean size?"]),
    (
        'supporting = [{ name = "fork", at = "lower rigth" }]',
        "supporting[1].at",
        ['did you mean "lower right"?'],
    ),
    (
        'supporting = [{ name = "fork", at = "left of the subjet" }]',
        "supporting[1].at",
        ['did you mean "left of the subject"?'],
    ),
    ("supporting = 3.5", "supporting", ["must be a whole number"]),
    ("supporting = [3]", "supporting[1]", ["write supporting = 3"]),
    ("negative_space = 40", "negative_space", ['write 0.4 or "40%"']),
    ('negative_space = "lefft"', "negative_space", ['did you mean "left"?']),
    ('negative_space = "140%"', "negative_space", ["at most 100%"]),
    ('negative_space = { side = "lots" }', "negative_space.side", ['negative_space = "lots"']),
    ('palette = "terracota"', "palette", ['did you mean "terracotta"?']),
    ('palette = ["sage", "#ggg"]', "palette[2]", ["#rrggbb"]),
    ('surface = "shiny"', "surface", ["gloss and texture are not compared"]),
    ('background = "back left"', "background", ['write light = "back left"']),
    ("background = 255", "background", ['background = "white"', '"#ffffff"']),
    ("colour_temperature = 56", "colour_temperature", ["between 1000 and 25000 kelvin"]),
    ('colour_temperature = "wram"', "colour_temperature", ['did you mean "warm"?']),
    (
        'colour_temperature = "orange"',
        "colour_temperature",
        ['"tungsten" or "candlelight"', 'palette = "orange"'],
    ),
    (
        'colour_temperature = "560K"',
        "colour_temperature",
        ["between 1000 and 25000 kelvin", "did you mean 5600?"],
    ),
    ('aspect_ratio = "potrait"', "aspect_ratio", ['did you mean "portrait"?']),
    ('aspect_ratio = "A4"', "aspect_ratio", ['upright is "1:1.41"']),
    ('diagonal = "risng"', "diagonal", ['did you mean "rising"?']),
    ("camera_angle = 45", "camera_angle", ["did you mean camera_elevation?"]),
    ('props = ["spoon"]', "props", ["did you mean supporting?"]),
    ('backgruond = "white"', "backgruond", ["did you mean background?"]),
    ('tecnique = "centred"', "tecnique", ["did you mean technique?"]),
    ('light = "left and right"', "light", ['for either side write "side light"']),
    ('light = "soft light from the top left"', "light", ['write light = "back left"']),
    ('subject = "upper right, backlit"', "subject", ['write light = "backlit"']),
    ('subject = "backlit, upper right"', "subject", ['write light = "backlit"']),
    ('subject = "bowl beside the fork, small"', "subject", ["write where the subject is"]),
    ('light = "no flash"', "light", ["whether a flash was used cannot be told"]),
    ('light = "not from the left"', "light", ["a plan says what is wanted"]),
    ('palette = "no red"', "palette", ["a colour cannot be ruled out"]),
    ('surface = "no wood"', "surface", ["a colour cannot be ruled out"]),
    ('technique = "no symmetry"', "technique", ["a plan says what is wanted"]),
    ('background = "out of focus kitchen"', "background", ["focus cannot be planned"]),
    (
        'surface = "nubbly linen"',
        "surface",
        ['"linen" is understood, "nubbly" is not'],
    ),
    ('camera_elevation = "heroic low"', "camera_elevation", ['"low" is understood, "heroic"']),
    ('subject = "not in the centre"', "subject", ["a plan says what is wanted"]),
    ('subject = "uper right, small"', "subject", ['did you mean "upper right"?']),
    ('aspect_ratio = "4:5 square"', "aspect_ratio", ["said in two ways"]),
    ("aspect_ratio = []", "aspect_ratio", ["this is empty"]),
    ("subject = { size = 20 }", "subject.size", ['write 0.2 or "20%"']),
    ("files = []", "files", ["leave files out"]),
]


@pytest.mark.parametrize(("line", "key", "says"), WRONG)
def test_a_wrong_phrase_has_a_message_on_which_one_can_act(faults_of, line, key, says):
    (fault,) = faults_of(f"{SHOT}{line}\n")
    assert (fault.line, fault.key) == (3, f"shot[1].{key}")
    for part in says:
        assert part in fault.message


def test_no_suggestion_turns_a_direction_round(faults_of):
    for line in ('light = "top lef"', 'light = "uper left"', 'light = "lower left"'):
        (fault,) = faults_of(f"{SHOT}{line}\n")
        assert 'did you mean "left"' not in fault.message


@pytest.mark.parametrize(
    "line",
    [
        'palette = "no red"',
        'palette = "not terracotta"',
        'light = "no flash"',
        'light = "not from the left"',
        'technique = "no symmetry"',
        'camera_elevation = "not overhead"',
    ],
)
def test_what_is_ruled_out_is_never_suggested(faults_of, line):
    (fault,) = faults_of(f"{SHOT}{line}\n")
    assert "did you mean" not in fault.message
    assert "is understood" not in fault.message


def test_a_message_that_says_what_to_write_gives_no_list(faults_of):
    for line in ('light = "warm"', 'light = "top left"', 'technique = "flat lay"'):
        (fault,) = faults_of(f"{SHOT}{line}\n")
        assert "write " in fault.message
        assert "auditor plan words" not in fault.message


def test_a_note_on_focus_or_the_lens_may_stand_under_a_key_of_its_own(plan_of):
    plan = plan_of(f'{SHOT}focus = "bokeh"\nlens = "45 mm"\n')
    assert plan.remarks == ("ignored: focus, lens (nothing is compared with them)",)


def test_there_are_many_wrong_phrases():
    assert len(WRONG) >= 40


def test_an_exchanged_pair_of_letters_is_one_mistake(faults_of):
    (fault,) = faults_of(f"{SHOT}[tolerance]\nligth = 1\n")
    assert "did you mean light?" in fault.message


@pytest.mark.parametrize(
    ("text", "line", "mark"),
    [
        ("title = “Winter”\n" + SHOT, 1, "“"),
        ("[[shot]]\nname = „tea“\n", 2, "„"),
        ("[[shot]]\nname = «tea»\n", 2, "«"),
        ("[[shot]]\nname = ‘tea’\n", 2, "‘"),
        ('[[shot]]\nname = "tea”\nlight = "left"\n', 2, "”"),
        (f"{SHOT}surface = [“slate”, “white”]\n", 3, "“"),
    ],
)
def test_typographic_quotes_are_named_with_their_line(faults_of, text, line, mark):
    (fault,) = faults_of(text)
    assert fault.line == line
    assert fault.message.startswith(f"{mark} is a typographic quote")


def test_all_lines_with_typographic_quotes_are_named_at_once(faults_of):
    (fault,) = faults_of("[[shot]]\nname = “tea”\nlight = “left”\nsurface = “slate”\n")
    assert fault.message.endswith("also in lines 3, 4")


def test_typographic_quotes_within_a_text_are_a_part_of_it(plan_of):
    assert plan_of('[[shot]]\nname = "the “best” soup"\n').shots[0].name == "the “best” soup"


def whole_messages():
    """Each wrong phrase with what the user reads."""
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "plan.toml"
        for line, _, _ in WRONG:
            path.write_text(f"{SHOT}{line}\n", encoding="utf-8")
            try:
                read_plan(path)
            except InvalidPlanError as error:
                yield line, str(error).replace(folder + "/", "")


if __name__ == "__main__":
    for phrase, message in whole_messages():
        sys.stdout.write(f"{phrase}\n    {message}\n\n")
