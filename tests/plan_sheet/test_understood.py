"""The lines in which a check of a plan says what was understood."""

from __future__ import annotations

from auditor.plan_sheet.understood import understood


def test_each_shot_is_one_line_with_what_was_understood(plan_of):
    first, second, rules = understood(
        plan_of(
            """
            [series]
            light = "back left"
            [[shot]]
            name = "kettle"
            files = "*kettle*"
            subject = { at = "upper right", size = 0.15 }
            supporting = ["two wine glasses back right"]
            camera_elevation = "three-quarter"
            palette = ["deep red", "#e08a1e"]
            aspect_ratio = "3:2 portrait"
            [[shot]]
            name = "tea"
            light = "right"
            negative_space = "none"
            mirrored = true
            [set]
            overhead = "at least 2"
            """
        )
    )
    assert first.startswith("1 kettle: ")
    assert first.removeprefix("1 kettle: ").split("; ") == [
        "aspect ratio 2:3",
        "subject upper right, 15% of the frame",
        "camera angle three-quarter (30 to 60°)",
        "with two wine glasses upper right, 2",
        "light back left (9:45 to 11:15)",
        "palette deep red #5e1c27, orange #e08a1e",
    ]
    assert (
        second
        == "2 tea: light right (2:15 to 3:45); empty space none; mirror image will do as well"
    )
    assert rules == "For the set: Overhead: at least 2"


def test_a_shot_of_which_the_plan_says_nothing(plan_of):
    (line,) = understood(plan_of('[[shot]]\nname = "tea"\nfiles = "*"\n'))
    assert line == "1 tea: The plan says nothing of this picture but its name."


def test_the_contract_s_plan(winter_citrus):
    (line,) = understood(winter_citrus)
    for said in ("upper right, 20%", "honey jar", "45%, on the left", "diagonal rising", "6000 K"):
        assert said in line
