from __future__ import annotations

import pytest

from tests.plan_files import WINTER_CITRUS

SHOT = '[[shot]]\nname = "tea"\nfiles = ["tea"]\n'


def places(faults):
    return [(fault.line, fault.key) for fault in faults]


def test_five_faults_are_reported_at_once_each_with_its_place(faults_of):
    faults = faults_of("""\
[series]
aspect_ratio = "four to five"

[[shot]]
name = "kettle"
files = ["*kettle*"]
light = { clock = 13 }

[[shot]]   # the second
name = "tart"
files = []
technique = "rule of fourths"
palette = [
  "#ffffff",
  "oragne",
]
""")
    assert places(faults) == [
        (2, "series.aspect_ratio"),
        (7, "shot[1].light.clock"),
        (11, "shot[2].files"),
        (12, "shot[2].technique"),
        (15, "shot[2].palette[2]"),
    ]
    assert [fault for fault in faults if not fault.message] == []
    assert "4:5" in faults[0].message
    assert "13" in faults[1].message
    assert 'did you mean "rule of thirds"' in faults[3].message
    assert 'did you mean "orange"' in faults[4].message


@pytest.mark.parametrize(
    ("line", "key", "says"),
    [
        ("camera_elevation = 120", "camera_elevation", "between 0 (level) and 90 (straight down)"),
        ("camera_elevation = nan", "camera_elevation", "nan is not right"),
        ("camera_elevation = true", "camera_elevation", "a camera angle is"),
        ('camera_elevation = "over head"', "camera_elevation", 'did you mean "overhead"'),
        ("camera_angle = 45", "camera_angle", "did you mean camera_elevation?"),
        ("tecnique = 'centred'", "tecnique", "did you mean technique?"),
        ("fraction = 0.4", "fraction", "in negative_space"),
        ("title = 'x'", "title", "the head of the file"),
        ("subject = { at = 'uper right' }", "subject.at", 'did you mean "upper right"'),
        ("subject = { at = 'left right' }", "subject.at", '"upper left"'),
        ("subject = { at = [0.5, 1.2] }", "subject.at", "[0.5, 1.2] is not right"),
        ("subject = { at = [0.5] }", "subject.at", "must be [x, y]"),
        ("subject = { at = 0.5 }", "subject.at", "must be [x, y]"),
        ("subject = { size = 0 }", "subject.size", "above 0"),
        ("subject = { size = 20 }", "subject.size", "a share of the frame"),
        ("subject.sise = 0.2", "subject.sise", "did you mean size?"),
        ("subject = 'uper right'", "subject", 'did you mean "upper right"'),
        ("subject = true", "subject", "must be [x, y]"),
        ("supporting = true", "supporting", "supporting = [ {"),
        ("supporting = -1", "supporting", "how many"),
        ("supporting = [ 3 ]", "supporting[1]", "supporting = 3"),
        ("supporting = [ {}, { at = 1 } ]", "supporting[2].at", "must be [x, y]"),
        ("light = 'top left'", "light", 'write light = "back left"'),
        ("light = {}", "light", "neither from nor clock"),
        ("light = { from = 'left', clock = 9 }", "light", "says it twice"),
        ("light = { from = 'sideways' }", "light.from", "camera at 6, as in 10.5"),
        ("light = { clock = 0 }", "light.clock", "above 0 and at most 12"),
        ("light = { clock = 'x' }", "light.clock", "must be a number"),
        ("colour_temperature = 60", "colour_temperature", "1000 and 25000"),
        ("colour_temperature = { kelvin = 60 }", "colour_temperature.kelvin", "1000 and 25000"),
        ("colour_temperature = { mired = 6000 }", "colour_temperature.mired", "40 and 1000"),
        ("negative_space = { fraction = 45 }", "negative_space.fraction", "0.45 is 45 %"),
        ("negative_space = { side = 'lefft' }", "negative_space.side", 'did you mean "left"'),
        ("diagonal = 0", "diagonal", "between -90 and 90"),
        ("diagonal = 90", "diagonal", "between -90 and 90"),
        ("diagonal = 'risng'", "diagonal", 'did you mean "rising"'),
        ("palette = '#fffff'", "palette", "#rrggbb"),
        ("palette = ['#ggg']", "palette[1]", "#rrggbb"),
        ("surface = ['#ffff']", "surface[1]", "#rrggbb"),
        ("background = [255]", "background[1]", "#rrggbb"),
        ("aspect_ratio = '4:0'", "aspect_ratio", "width to height"),
        ("aspect_ratio = 0", "aspect_ratio", "width to height"),
        ("aspect_ratio = 80", "aspect_ratio", "10:1"),
    ],
)
def test_each_wrong_value_is_reported_with_what_would_be_right(faults_of, line, key, says):
    (fault,) = faults_of(SHOT + line + "\n")
    assert (fault.line, fault.key) == (4, f"shot[1].{key}")
    assert says in fault.message


@pytest.mark.parametrize(
    ("line", "key", "says"),
    [
        ("subjekt = 0.06", "subjekt", "did you mean subject?"),
        ("subject = 6", "subject", "at most 1 (fraction of diagonal)"),
        ("light = 0", "light", "above 0 and at most 6 (h)"),
        ("palette = inf", "palette", "must be a number"),
    ],
)
def test_wrong_tolerances(faults_of, line, key, says):
    (fault,) = faults_of(f"{SHOT}[tolerance]\n{line}\n")
    assert (fault.line, fault.key) == (5, f"tolerance.{key}")
    assert says in fault.message


def test_a_missing_name_is_reported_at_the_head_of_the_shot(faults_of):
    faults = faults_of(f"{SHOT}\n[[shot]]\ndiagonal = 'rising'\n")
    assert places(faults) == [(5, "shot[2].name")]


@pytest.mark.parametrize("text", ["", "title = 'x'\n", "shot = []\n"])
def test_a_plan_without_a_shot_is_a_fault(faults_of, text):
    (fault,) = faults_of(text)
    assert fault.key == "shot"
    assert "[[shot]]" in fault.message


def test_single_brackets_for_a_shot_are_explained(faults_of):
    (fault,) = faults_of(SHOT.replace("[[shot]]", "[shot]"))
    assert (fault.line, fault.key) == (1, "shot")
    assert "two brackets" in fault.message


def test_names_and_patterns_must_not_repeat(faults_of):
    faults = faults_of(
        SHOT
        + '[[shot]]\nname = "tea"\nfiles = ["cake",\n "TEA", "cake"]\n'
        + 'supporting = [ { name = "jar" }, { name = "jar" } ]\n'
    )
    assert places(faults) == [
        (5, "shot[2].name"),
        (7, "shot[2].files[2]"),
        (7, "shot[2].files[3]"),
        (8, "shot[2].supporting[2].name"),
    ]
    assert "shot[1].name" in faults[0].message
    assert "shot[1].files[1]" in faults[1].message


@pytest.mark.parametrize("pattern", ['""', '" "', "3", "'a\\b'"])
def test_patterns_that_fit_nothing(faults_of, pattern):
    (fault,) = faults_of(f'[[shot]]\nname = "tea"\nfiles = [{pattern}]\n')
    assert (fault.line, fault.key) == (3, "shot[1].files[1]")


@pytest.mark.parametrize("name", ['""', '"  "', "3"])
def test_values_that_are_no_names(faults_of, name):
    (fault,) = faults_of(f'[[shot]]\nname = {name}\nfiles = ["a"]\n')
    assert (fault.line, fault.key) == (2, "shot[1].name")


@pytest.mark.parametrize(
    ("text", "line", "says"),
    [
        ("a = 1\nb =\n", 2, "a value is missing"),
        ("a = 1\nlight from = 'left'\n", 2, "followed by ="),
        ("a = 1\na = 2\n", 2, "already given"),
        ('a = "x\nb = 1\n', 1, "closing quotes"),
        ("a = [1, 2\n", 1, "list is not closed"),
        ("[[shot]\nname = 'a'\n", 1, "]] is missing"),
        ("[[shot]]\n[shot]\n", 2, "already begun"),
        ("a = left\n", 1, "text stands in quotes"),
    ],
)
def test_a_text_that_is_not_toml_has_one_fault_in_plain_words(faults_of, text, line, says):
    (fault,) = faults_of(text)
    assert fault.line == line
    assert says in fault.message


def test_very_deep_nesting_is_a_fault_and_no_crash(faults_of):
    for depth in (50, 150, 300, 500, 100_000):
        faults = faults_of(f"{SHOT}palette = " + "[" * depth + "]" * depth)
        assert len(faults) == 1
        assert faults[0].message


def test_absent_file_folder_and_wrong_encoding(faults_of, tmp_path):
    for written, says in (
        (tmp_path / "absent.toml", "no such file"),
        (tmp_path, "folder"),
        ('title = "thé"'.encode("latin-1"), "UTF-8"),
        ('title = "the"'.encode("utf-16"), "UTF-8"),
    ):
        (fault,) = faults_of(written)
        assert (fault.line, fault.key) == (0, "")
        assert says in fault.message


def test_one_change_to_the_published_example_is_one_fault(faults_of):
    lines = WINTER_CITRUS.splitlines()
    number = next(n for n, line in enumerate(lines, 1) if line.startswith("camera_elevation"))
    (fault,) = faults_of(WINTER_CITRUS.replace("camera_elevation = 45", "camera_elevation = 450"))
    assert (fault.line, fault.key) == (number, "shot[1].camera_elevation")
