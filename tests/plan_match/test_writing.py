import tomllib

import pytest

from auditor.errors import InvalidPlanError
from auditor.plan_match.naming import patterns_for
from auditor.plan_match.writing import NamedFiles, with_files

PLAN = """\
# The winter shoot.
title = "Winter"

[series]
light = { from = "back left" }  # always

[[shot]]
name = "kettle"   # the big one
technique = "centred"

  [[shot]]  # indented
  diagonal = "rising"
  name = 'tart'
  subject.at = "centre"

[[shot]]
name = "bowl"
files = ["*bowl*"]
"""
WRITTEN = """\
# The winter shoot.
title = "Winter"

[series]
light = { from = "back left" }  # always

[[shot]]
name = "kettle"   # the big one
files = ["1.jpg", "2.jpg"]
technique = "centred"

  [[shot]]  # indented
  diagonal = "rising"
  name = 'tart'
  # check 3.jpg: 60% sure
  files = ["3.jpg"]
  subject.at = "centre"

[[shot]]
name = "bowl"
files = ["*bowl*"]
"""
NAMED = {
    0: NamedFiles(("1.jpg", "2.jpg")),
    1: NamedFiles(("3.jpg",), ("check 3.jpg: 60% sure",)),
}


def test_a_line_is_added_below_each_name_and_nothing_else_changes():
    assert with_files(PLAN, NAMED, "plan.toml") == WRITTEN


def test_line_ends_and_the_byte_order_mark_stay():
    dos = "\ufeff" + PLAN.replace("\n", "\r\n")
    assert with_files(dos, NAMED, "plan.toml") == "\ufeff" + WRITTEN.replace("\n", "\r\n")


@pytest.mark.parametrize("end", ["\n", "\r\n"])
def test_a_plan_without_a_line_end_at_its_end(end):
    text = f'[[shot]]{end}name = "tea"'
    assert with_files(text, {0: NamedFiles(("a.jpg",))}, "p") == f'{text}{end}files = ["a.jpg"]'


@pytest.mark.parametrize(
    "text",
    [
        '[[shot]]\nname = """\ntea"""\ndiagonal = "none"\n',  # a name over two lines
        '[[shot]]\n"name" = "tea"\n[shot.subject]\nat = "centre"\n',
        '[["shot"]]\nsubject.size = 0.2\nname = "tea"\n[[shot.supporting]]\nname = "jar"\n',
        "[[ shot ]] # name = 'x'\nname = 'te#a'\n[series]\n",
    ],
)
def test_any_way_to_write_a_shot_means_the_same_afterwards(text):
    written = tomllib.loads(with_files(text, {0: NamedFiles(("a.jpg",))}, "plan.toml"))
    assert written["shot"][0].pop("files") == ["a.jpg"]
    assert written == tomllib.loads(text)


@pytest.mark.parametrize("text", ['shot = [ { name = "tea" } ]\n', 'shot = [\n{name="tea"}\n]\n'])
def test_shots_in_one_list_are_refused_with_a_way_out(text):
    with pytest.raises(InvalidPlanError, match=r"plan.toml:\d: shot: .*\[\[shot\]\]"):
        with_files(text, {0: NamedFiles(("a.jpg",))}, "plan.toml")


def test_many_pictures_have_a_line_each():
    many = NamedFiles(tuple(f"a long name of a picture {n}.jpg" for n in range(5)))
    text = with_files('[[shot]]\nname = "tea"\n', {0: many}, "plan.toml")
    assert max(map(len, text.splitlines())) <= 100
    assert tomllib.loads(text)["shot"][0]["files"] == list(many.patterns)


def test_names_with_quotes_and_letters_of_all_kinds():
    odd = NamedFiles(('say "cheese".jpg', "tête-à-tête.jpg", "del\x7fete.jpg"))
    text = with_files('[[shot]]\nname = "tea"\n', {0: odd}, "plan.toml")
    assert tomllib.loads(text)["shot"][0]["files"] == list(odd.patterns)
    assert "tête-à-tête.jpg" in text


@pytest.mark.parametrize(
    ("file", "pattern"),
    [
        ("day one/a.jpg", "a.jpg"),
        ("day one/b.jpg", "day one/b.jpg"),  # there are two of this name
        ("day two/B.jpg", "day two/B.jpg"),
        ("c\\d.jpg", "c?d.jpg"),
        (" e.jpg", "?e.jpg"),
        ("f\x7f.jpg", "f?.jpg"),
    ],
)
def test_a_picture_is_named_as_briefly_as_it_can_be(file, pattern):
    files = ["day one/a.jpg", "day one/b.jpg", "day two/B.jpg", "c\\d.jpg", " e.jpg", "f\x7f.jpg"]
    assert patterns_for([file], files) == [pattern]
