"""The list beside a frame says everything that is planned."""

import pytest

from auditor.accepted import Accepted
from auditor.plan_sheet.compose import draw_shot
from auditor.plan_sheet.facts import facts_of, key_of, plans_nothing
from auditor.plan_sheet.lettering import Lettering
from auditor.wording import plan_sheet as words

NAME = '[[shot]]\nname = "one"\nfiles = ["*one*", "*two*"]\n'


def as_text(shot):
    return {
        fact.title: " ".join(
            [fact.cell.text, *(patch.text for patch in fact.cell.colours), fact.note]
        )
        for fact in facts_of(shot)
    }


def test_every_planned_quantity_is_there(winter_citrus):
    facts = as_text(winter_citrus.shots[0])
    expected = {
        "Aspect ratio": "4:5",
        "Technique": "rule of thirds",
        "Subject": "upper right; 20% of the frame",
        "Camera angle": "three-quarter (45°)",
        "1  honey jar": "30% across, 70% down",
        "2  cloth": "lower left",
        "Light": "back left (9:45 to 11:15)",
        "Empty space": "45%, on the left",
        "Diagonal": "rising",
        "Colour temperature": "6000 K",
        "Palette": "orange",
        "Background": "beige",
        "Surface": "warm grey",
        "Files": "*kettle*",
    }
    assert list(facts) == list(expected)
    for heading, text in expected.items():
        assert text in facts[heading]


def test_a_shot_without_a_plan_says_so(plan_of):
    shot = plan_of(NAME).shots[0]
    assert plans_nothing(shot)
    assert as_text(shot) == {
        "Aspect ratio": "not planned  drawn as 3:2".replace("  ", " "),
        "Files": "*one*, *two* ",
    }
    drawing = draw_shot(shot, Lettering(20))
    assert (drawing.lines, drawing.words, drawing.zones) == ((), (), ())
    assert drawing.frame.width / drawing.frame.height == pytest.approx(1.5, rel=1e-3)


def test_the_key_explains_what_is_pale_and_what_is_dashed(plan_of):
    def key(text):
        shot = plan_of(NAME + text).shots[0]
        return " ".join(key_of(shot, draw_shot(shot, Lettering(20))))

    assert key("subject = { at = [0.5, 0.5], size = 0.1 }") == ""
    assert "Pale" in key('subject = { at = "left", size = 0.1 }')
    assert "a subject at 12% of the frame" in key("subject = { at = [0.5, 0.5] }")
    assert "a supporting element at 3%" in key('supporting = [ { name = "a", at = [0.5, 0.5] } ]')


def test_ranges_and_several_values_are_written_whole():
    angle = Accepted(45.0, ((30.0, 60.0),), "three-quarter")
    assert words.camera_fact(angle, 45.0).cell.text == "three-quarter (30 to 60°)"
    light = Accepted(9.0, ((9.0, 9.0), (3.0, 3.0)), "left or right")
    assert words.light_fact(light, above=False).cell.text == "left or right (3:00 or 9:00)"
    exact = Accepted.exactly(10.5)
    both = words.light_fact(exact, above=True).cell.text
    assert both == "three-quarter back light from the left (10:30) or from above"
    assert words.empty_fact(None, [("top", "left"), ("right",)]).cell.text == (
        "at the top and on the left or on the right"
    )
    share = Accepted(0.4, ((0.3, 0.5),))
    assert words.empty_label(share) == "30 to 50% empty"
    warm = Accepted(250.0, ((222.2, 285.7),), "warm")
    assert words.temperature_fact(warm).cell.text == "warm (3500 to 4500 K)"


def test_each_reason_says_of_what_it_is(plan_of):
    shot = plan_of(
        NAME + "light = 'left'\nwithout = [ { name = 'napkin', on_purpose = 'I like it' } ]\n"
        "on_purpose = { light = 'the window', without = 'one take only' }\n"
    ).shots[0]
    text = as_text(shot)["On purpose"].strip()
    assert text == "Napkin: I like it; things to leave out: one take only; light: the window"
    everything = (words.purpose_of((), None), "one take only")
    fact = words.on_purpose_fact([(words.purpose_of(("light",), None), "the window"), everything])
    assert fact.cell.text == "Light: the window; everything else: one take only"


def test_numbers_what_is_left_out_and_what_is_on_purpose(plan_of):
    shot = plan_of(
        NAME + 'mirrored = true\nsupporting = [ { name = "bowls", count = "at least 2", '
        'at = "left third" } ]\nwithout = [ { name = "crumbs" } ]\n'
        'on_purpose = "The rim is cut."\n'
    ).shots[0]
    facts = as_text(shot)
    assert facts["1  bowls"].strip() == "left third; at least 2"
    assert facts["Left out"].strip() == "crumbs"
    assert facts["On purpose"].strip() == "The rim is cut."
    drawing = draw_shot(shot, Lettering(20))
    assert words.MIRROR_NOTE in key_of(shot, drawing)
    assert sum(line.is_closed for line in drawing.lines) == 2  # two bowls
    assert [word.lines for word in drawing.words] == [("bowls",)]
