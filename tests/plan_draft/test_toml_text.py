"""A draft as text: valid TOML, whatever the names hold, laid out for a reader."""

import tomllib

from hypothesis import given
from hypothesis import strategies as st

from auditor.plan_draft.draft import Entry, PlanDraft, Remarked, ShotDraft
from auditor.plan_draft.toml_text import toml_text, value_text
from auditor.safe_text import quoted

# What breaks strings, tables and comments where it is not escaped, and what a terminal obeys.
NASTY = 'a "b" \\ c\n[[shot]]\r\t\x00\x1b[31m\x7f\u2028 # d = \U0001f34a'


def shot(*entries, name="a dish", files=("dish.jpg",), comments=()):
    return ShotDraft(name, files, entries, comments)


def draft(*shots, comments=(), title="", series=()):
    return PlanDraft(comments, title, series, shots)


@given(st.text(st.characters(exclude_categories=["Cs"])))
def test_any_text_comes_back(text):
    line = f"key = {quoted(text)}"
    assert tomllib.loads(line) == {"key": text}
    assert line.isprintable()


def test_half_a_character_is_still_a_string():
    assert tomllib.loads(f"key = {quoted(chr(0xD800))}") == {"key": "?"}


def test_names_cannot_break_out_of_a_string_or_a_comment():
    text = toml_text(
        draft(
            shot(Entry("technique", "centred", NASTY), name=NASTY, files=(NASTY,)),
            comments=(NASTY,),
            title=NASTY,
            series=(Entry("aspect_ratio", "4:5", NASTY),),
        )
    )
    assert tomllib.loads(text) == {
        "title": NASTY,
        "series": {"aspect_ratio": "4:5"},
        "shot": [{"name": NASTY, "files": [NASTY], "technique": "centred"}],
    }


def test_numbers_are_written_as_by_a_person():
    assert value_text(0.2) == "0.2"
    assert value_text(45) == "45"
    assert value_text(6500.0) == "6500"
    assert value_text([0.3, 0.67]) == "[0.30, 0.67]"
    assert value_text({"at": [1.0, 0.0], "size": 0.05}) == "{ at = [1.00, 0.00], size = 0.05 }"


def test_the_layout_of_a_whole_draft():
    things = [
        Remarked({"name": "cup", "at": [0.2, 0.8]}, "lower left"),
        Remarked({"name": "napkin", "at": [0.8, 0.8]}, ""),
    ]
    one = shot(
        Entry("subject", {"at": [0.5, 0.5], "size": 0.2}, "centre"),
        Entry("supporting", things),
        Entry("light", {"from": "left"}),
        comments=("handwriting at the left, not read",),
    )
    two = shot(Entry("supporting", things[:1]), name="another", files=())
    text = toml_text(
        draft(
            one,
            two,
            comments=("A draft.",),
            title="Soup",
            series=(Entry("camera_elevation", "high", "about 70 degrees"),),
        )
    )
    assert (
        text
        == """\
# A draft.

title = "Soup"

[series]
camera_elevation = "high"  # about 70 degrees

[[shot]]
# handwriting at the left, not read
name = "a dish"
files = ["dish.jpg"]
subject = { at = [0.50, 0.50], size = 0.2 }  # centre
supporting = [
    { name = "cup", at = [0.20, 0.80] },     # lower left
    { name = "napkin", at = [0.80, 0.80] },
]
light = { from = "left" }

[[shot]]
name = "another"
supporting = [{ name = "cup", at = [0.20, 0.80] }]  # lower left
"""
    )


def test_long_lists_take_a_line_for_each_item():
    names = [f"a picture with a long name, number {number}.jpg" for number in range(4)]
    text = toml_text(draft(shot(files=tuple(names))))
    assert max(map(len, text.splitlines())) < 100
    assert tomllib.loads(text)["shot"][0]["files"] == names


def test_a_guess_says_how_sure_it_is():
    text = toml_text(draft(shot(Entry("camera_elevation", 45, "three-quarter", 0.7))))
    assert "camera_elevation = 45  # three-quarter; a guess: 70 % sure" in text


def test_what_is_more_likely_wrong_stays_a_comment():
    doubtful = Entry("light", {"clock": 9.0}, "left", 0.3)
    text = toml_text(draft(shot(doubtful)))
    assert "\n# light = { clock = 9 }  # left; a guess: 30 % sure\n" in text
    assert "light" not in tomllib.loads(text)["shot"][0]
