"""Mirrored compositions, numbers of things, what is left out, rules, what is on purpose."""

import pytest

from auditor.plan.shot_plan import PlannedRule, Purpose
from auditor.plan.summary import describe_plan
from auditor.vocabulary.how_many import from_to

SHOT = '[[shot]]\nname = "tea"\nfiles = ["tea"]\n'


def test_what_the_keys_mean(plan_of):
    plan = plan_of(f"""
        [series]
        mirrored = true
        without = "hands"
        light = "left"
        {SHOT}
        supporting = [
            {{ name = "three bowls", at = "left" }},
            {{ name = "spoons", count = "at least 2" }},
            {{ name = "jar" }},
        ]
        on_purpose = {{ light = "the window", supporting = "as it fell" }}
        [[shot]]
        name = "tart"
        mirrored = false
        without = ["fork", {{ name = "napkin", at = "lower left", on_purpose = "I like it" }}]
        subject = {{ at = "left", on_purpose = "room for a title" }}
        on_purpose = "one take only"
        [set]
        hero = 1
        overhead = "at least two"
        neighbours = "Different Angles"
    """)
    tea, tart = plan.shots
    assert (tea.intent.mirrored, tart.intent.mirrored) == (True, False)
    bowls, spoons, jar = tea.intent.supporting
    assert (bowls.name, bowls.count, bowls.zone.words) == ("three bowls", from_to(3, 3), "left")
    assert (spoons.count.words, jar.count) == ("at least 2", None)
    assert [one.name for one in tea.intent.without] == ["hands"]
    fork, napkin = tart.intent.without
    assert (fork.has_place, napkin.zone.words) == (False, "lower left")
    assert tea.on_purpose == (
        Purpose("as it fell", ("supporting", "count")),
        Purpose("the window", ("light",)),
    )
    assert tart.on_purpose == (
        Purpose("I like it", ("without",), "napkin"),
        Purpose("room for a title", ("subject", "subject_size")),
        Purpose("one take only"),
    )
    assert plan.rules == (
        PlannedRule("overhead", from_to(2, 1000), "at least 2"),
        PlannedRule("hero", from_to(1, 1), "1"),
        PlannedRule("neighbours", None, "different angles"),
    )


def test_a_plan_without_them_means_what_it_meant(plan_of):
    plan = plan_of(SHOT)
    (shot,) = plan.shots
    assert (shot.intent.mirrored, shot.intent.without, shot.on_purpose) == (False, (), ())
    assert plan.rules == ()


def test_a_single_table_is_a_list_of_one(plan_of):
    (shot,) = plan_of(SHOT + 'without = { name = "napkin", at = "left" }\n').shots
    (napkin,) = shot.intent.without
    assert (napkin.name, napkin.zone.words) == ("napkin", "left")


@pytest.mark.parametrize(
    ("line", "key", "says"),
    [
        ('mirrored = "yes"', "mirrored", "true or false, without quotes"),
        ("mirrored = 1", "mirrored", "true or false"),
        ("without = 3", "without", 'without = ["fork", "second plate"]'),
        ("without = ''", "without", "must not be empty"),
        ("without = ['fork', 3]", "without[2]", 'a name as in "fork"'),
        ("without = ['fork', '']", "without[2]", "must not be empty"),
        ("without = [ { at = 'left' } ]", "without[1].name", "what must not be there needs a name"),
        ("without = [ { name = 'cup', at = 'lefft' } ]", "without[1].at", 'did you mean "left"'),
        ("supporting = [ { name = 'cups', count = 0 } ]", "supporting[1].count", "from 1 to 1000"),
        ("supporting = [ { name = 'cups', count = 2.5 } ]", "supporting[1].count", "at least 2"),
        ("supporting = [ { name = 'cups', count = true } ]", "supporting[1].count", "true is not"),
        (
            "supporting = [ { name = 'two cups', count = 2 } ]",
            "supporting[1].count",
            'says it twice: the name "two cups" has its number',
        ),
        ("on_purpose = ''", "on_purpose", "must not be empty"),
        ("on_purpose = 3", "on_purpose", 'on_purpose = "the window needed it"'),
        ("on_purpose = { lihgt = 'x' }", "on_purpose.lihgt", "did you mean light?"),
        (
            "on_purpose = { light = 'x' }",
            "on_purpose.light",
            "light is not planned for this shot",
        ),
        (
            "on_purpose.light = 'x'\nlight = { from = 'left', on_purpose = 'y' }",
            "on_purpose.light",
            "twice: the other one is at shot[1].light.on_purpose",
        ),
        (
            "without = ['spoon', 'Honey-Jar']\nsupporting = [ { name = 'honey jar' } ]",
            "without[2]",
            '"honey jar" is planned at shot[1].supporting[1] and ruled out here',
        ),
        ("overhead = 2", "overhead", "belong here but in set"),
    ],
)
def test_each_fault_of_a_shot_is_reported(faults_of, line, key, says):
    (fault,) = faults_of(SHOT + line + "\n")
    assert fault.key == f"shot[1].{key}"
    assert fault.line >= 4
    assert says in fault.message


@pytest.mark.parametrize(
    ("lines", "key", "says"),
    [
        ("hero = true", "hero", "a number of pictures from 0 to 1000"),
        ('pictures = "9 to 6"', "pictures", 'as in 3 or "three", "at least 2"'),
        ("pictures = 0", "pictures", "from 1 to 1000"),
        ('overhead = "some"', "overhead", '"some" is not right'),
        ('neighbours = "different"', "neighbours", 'did you mean "different angles"'),
        ("neighbours = 2", "neighbours", '2 is not right: must be "different angles"'),
        ("three-quarter = 2", "three-quarter", "did you mean three_quarter?"),
        ("mood = 'calm'", "mood", "known are pictures, portrait"),
        ('pictures = 3\noverhead = "at least 4"', "overhead", "ask for 4 pictures at least"),
        ("pictures = 3\noverhead = 2\nlow = 2", "low", "overhead = 2 and low = 2 ask for 4"),
        ("pictures = 3\nportrait = 2\nsquare = 2", "square", "and there are 3 at most"),
    ],
)
def test_each_fault_of_the_rules_is_reported(faults_of, lines, key, says):
    (fault,) = faults_of(f"{SHOT}[set]\n{lines}\n")
    assert fault.key == f"set.{key}"
    assert fault.line == 4 + len(lines.splitlines())
    assert says in fault.message


def test_rules_that_may_hold_together_are_no_fault(plan_of):
    plan = plan_of(
        SHOT + '[set]\npictures = "3 to 5"\noverhead = 2\nlow = 2\nportrait = 5\nhero = 1\n'
    )
    assert len(plan.rules) == 5
    assert describe_plan(plan) == "1 shot, with files; 5 rules for the set"


def test_more_shots_than_pictures_are_a_fault(faults_of):
    other = SHOT.replace("tea", "tart")
    (fault,) = faults_of(f"{SHOT}{other}[set]\npictures = 1\n")
    assert fault.key == "set.pictures"
    assert "there are 2 shots, each with a picture, and 1 picture here" in fault.message


def test_a_reason_is_one_shot_s(faults_of):
    faults = faults_of(
        f"[series]\non_purpose = 'x'\nlight = {{ from = 'left', on_purpose = 'y' }}\n{SHOT}"
    )
    assert [fault.key for fault in faults] == ["series.on_purpose", "series.light.on_purpose"]
    assert all("[[shot]]" in fault.message for fault in faults)


def test_what_the_series_rules_out_is_planned_by_no_shot(faults_of):
    (fault,) = faults_of(
        f"[series]\nwithout = 'fork'\n{SHOT}supporting = [ {{ name = 'fork' }} ]\n"
    )
    assert fault.key == "shot[1].supporting[1]"
    assert "write without = []" in fault.message


def test_a_thing_ruled_out_at_one_place_may_be_planned_at_another(plan_of):
    (shot,) = plan_of(
        SHOT
        + 'supporting = [ { name = "cup", at = "right" } ]\n'
        + 'without = [ { name = "cup", at = "left" } ]\n'
    ).shots
    assert [one.name for one in shot.intent.without] == ["cup"]
