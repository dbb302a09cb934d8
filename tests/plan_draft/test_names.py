"""Names from files, and patterns that find the files again."""

from pathlib import Path

import pytest

from auditor.plan.file_patterns import claims_file
from auditor.plan.shot_plan import Intent, Shot
from auditor.plan.written_values import read_pattern
from auditor.plan_draft.names import patterns, readable, title_of, unique


@pytest.mark.parametrize(
    ("file", "name"),
    [
        ("01-kettle-and-clementines.jpg", "kettle and clementines"),
        ("apple_pie.final.jpeg", "apple pie final"),
        ("IMG_0412.JPG", "IMG 0412"),
        ("2024 10 crêpe.png", "10 crêpe"),
        ("4-cheese-pizza.jpg", "4 cheese pizza"),
        ("0001.jpg", "0001"),
        ("-.jpg", ""),
    ],
)
def test_file_names_as_words(file, name):
    assert readable(file) == name


def test_names_that_are_there_twice_are_numbered():
    assert unique(["soup", "soup", "soup 2", ""]) == ["soup", "soup 2", "soup 2 2", "picture 4"]


def test_titles():
    assert title_of([Path("/x/winter menu/IMG_1.jpg")]) == "Winter menu"
    assert title_of([Path("/x/shoot/pumpkin-soup.jpg")]) == "Pumpkin soup"
    assert title_of([Path("/x/menu/a/1.jpg"), Path("/x/menu/b/2.jpg")]) == "Menu"
    assert title_of([Path("/2024/DSC_0001.jpg")]) == ""


def claimed(pattern, file):
    return claims_file(Shot("shot", (read_pattern(pattern),), Intent()), file)


@pytest.mark.parametrize(
    "file", ["dish [1].jpg", " dish.jpg", "dish?.jpg", "di\\sh.jpg", "di\nsh.jpg", "dish.jpg "]
)
def test_a_pattern_fits_its_file(file):
    (pattern,) = patterns([Path("/set") / file])
    assert claimed(pattern, file)
    assert not claimed(pattern, "another one.jpg")


def test_files_of_one_name_are_known_by_their_folders():
    paths = [Path("/set/a/dish.jpg"), Path("/set/b/Dish.jpg"), Path("/set/b/cup.jpg")]
    assert patterns(paths) == ["a/dish.jpg", "b/Dish.jpg", "cup.jpg"]


def test_what_no_pattern_can_tell_apart_has_one_only_once():
    assert patterns([Path("/set/dish.jpg"), Path("/set/DISH.jpg")]) == ["dish.jpg", ""]
