"""Rules as a person writes them: what is understood, and every fault at once."""

import re
from pathlib import Path

import pytest

from auditor.delivery.examples import FOLDER, NAMES, example_text
from auditor.delivery.models import GROUPS, RULE_NAMES, known_keys
from auditor.delivery.name_pattern import pattern_of
from auditor.delivery.reading import read_rules
from auditor.delivery.rules import least_side_px
from auditor.errors import InvalidRulesError
from tests.conftest import README
from tests.delivery.files import rules_of

TEN_FAULTS = """\
title = ""
client = "the teahouse"

[file]
type = "JPG2"
bytes = "8"
names = "teahouse-{nummer:3}"

[pixels]
long_side = "at leats 3000"
longside = 3000
ratio = "four to five"

[picture]
halos = 0.1
writing = true

[metadata]
location = "none"

[set]
one_look = ["colour temprature"]

[[channel]]
files = "web/*"
"""


def faults_of(folder, text):
    with pytest.raises(InvalidRulesError) as caught:
        rules_of(folder, text)
    return caught.value.faults


def test_all_faults_are_told_at_once_each_with_its_place(tmp_path):
    faults = faults_of(tmp_path, TEN_FAULTS)
    assert [(fault.line, fault.key) for fault in faults] == [
        (1, "title"),
        (2, "client"),
        (5, "file.type"),
        (6, "file.bytes"),
        (7, "file.names"),
        (10, "pixels.long_side"),
        (11, "pixels.longside"),
        (12, "pixels.ratio"),
        (15, "picture.halos"),
        (16, "picture.writing"),
        (19, "metadata.location"),
        (22, "set.one_look"),
        (24, "channel[1].name"),
    ]
    assert all(fault.message for fault in faults)


@pytest.mark.parametrize(
    ("text", "key", "says"),
    [
        ("[file]\ntype = 'JPGE'", "file.type", 'did you mean "JPEG"'),
        ("[file]\nbytes = 8000000", "file.bytes", "at most 8 MB"),
        ("[file]\nbytes = '8 MB'", "file.bytes", "at most"),
        ("[file]\nformat = 'JPEG'", "file.format", "did you mean type?"),
        ("[file]\nlong_side = 3000", "file.long_side", "below [pixels]"),
        ("long_side = 3000", "long_side", "below [pixels]"),
        ("[pixels]\nlong_sied = 3000", "pixels.long_sied", "did you mean long_side?"),
        ("[pixels]\ngps = false", "pixels.gps", "location below [metadata]"),
        ("[file]\nnumber_gaps = false", "file.number_gaps", "{number:3}"),
        ("[file]\nnames = 'a-*'\nnumber_doubles = false", "file.number_doubles", "{number:3}"),
        ("[file]\nnames = '{number} {number}'", "file.names", "once"),
        ("[set]\npictures = 3\nportrait = 4", "set.portrait", "at most"),
        (
            "[pixels]\nlong_side = 'at most 900'\nshort_side = 'at least 901'",
            "pixels.short_side",
            "no picture has both",
        ),
        ("file = 3", "file", "[file] with its keys below"),
        ("channel = 'web'", "channel", "[[channel]]"),
        ("[[channel]]\nname = 'web'", "channel[1].files", 'files = "web/*"'),
        (
            "[[channel]]\nname = 'a'\nfiles = 'a'\n[[channel]]\nname = 'a'\nfiles = 'b'",
            "channel[2].name",
            "there twice",
        ),
        ("[metadata]\nserial_numbers = true", "metadata.serial_numbers", "must be false"),
        ("[metadata]\nkeywords = 'many'", "metadata.keywords", "keywords"),
        ("title = 'x'", "", "no rule in this file"),
        ("[pixels]\nlong_side = -1", "pixels.long_side", "at least 3000"),
        ("[pixels]\nlong_side = nan", "pixels.long_side", "at least 3000"),
        ("[pixels\n", "", "the head of a table is not closed"),
    ],
)
def test_a_fault_says_what_would_be_right(text, key, says, tmp_path):
    faults = faults_of(tmp_path, text)
    assert [(fault.key, says in fault.message) for fault in faults] == [(key, True)], faults


def test_a_file_that_is_not_there_and_one_that_is_no_text(tmp_path):
    with pytest.raises(InvalidRulesError, match="no such file"):
        read_rules(tmp_path / "none.toml")
    (tmp_path / "rules.toml").write_bytes(b"\xff\xfe\x00")
    with pytest.raises(InvalidRulesError, match="UTF-8"):
        read_rules(tmp_path / "rules.toml")
    with pytest.raises(InvalidRulesError, match="this is a folder; name the rules file"):
        read_rules(tmp_path)


@pytest.mark.parametrize(
    ("line", "words"),
    [
        ('long_side = "3000 px or more"', "at least 3000 px"),
        ("long_side = 3000", "exactly 3000 px"),
        ("long_side = [2000, 3000]", "2000 px to 3000 px"),
        ('long_side = "up to 2560 pixels"', "at most 2560 px"),
        ('megapixels = "at least 12 MP"', "at least 12 megapixels"),
        ('ratio = "4:5 or 1:1"', "4:5 or 1:1"),
    ],
)
def test_numbers_in_words(line, words, tmp_path):
    (rule,) = rules_of(tmp_path, f"[pixels]\n{line}\n").rules
    assert rule.asked.words == words


@pytest.mark.parametrize(
    ("written", "n_bytes"),
    [("8 MB", 8e6), ("2.5 MB", 2.5e6), ("500 kB", 5e5), ("8 MiB", 8 * 2**20), ("1 GB", 1e9)],
)
def test_sizes_are_decimal_unless_they_say_binary(written, n_bytes, tmp_path):
    (rule,) = rules_of(tmp_path, f'[file]\nbytes = "at most {written}"\n').rules
    assert rule.asked.accepted.spans == ((0.0, n_bytes),)


@pytest.mark.parametrize("name", NAMES)
def test_the_examples_are_understood_by_name_and_by_path(name, tmp_path):
    by_path = read_rules(FOLDER / f"{name}.toml")
    assert read_rules(FOLDER / f"{name}.toml").title
    text = example_text(name)
    assert rules_of(tmp_path, text) == by_path


def test_a_file_of_the_same_name_goes_before_an_example(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    by_name = read_rules(Path("web"))
    assert by_name.title.startswith("Web gallery")
    (tmp_path / "web").write_text("[pixels]\nwidth = 10\n", encoding="utf-8")
    assert len(read_rules(Path("web")).rules) == 1


def test_every_rule_has_one_key():
    keys = [key for group in GROUPS for key in known_keys(group)]
    assert len(keys) == len(set(keys)) == len(RULE_NAMES)
    assert set(keys) | {"name", "files"} == set(known_keys("channel"))


def test_the_least_sides_that_are_asked_of_a_picture(tmp_path):
    rules = rules_of(
        tmp_path,
        """
[pixels]
long_side = "at least 3000"
[[channel]]
name = "web"
files = "web/*"
long_side = "at most 1600"
short_side = 900
""",
    )
    assert least_side_px(rules, "tart.jpg") == (3000, 0)
    assert least_side_px(rules, "web/tart.jpg") == (0, 900)


@pytest.mark.parametrize(
    ("pattern", "name", "number"),
    [
        ("tea-{number:3}", "tea-012", 12),
        ("tea-{number:3}", "tea-12", None),
        ("tea-{number}", "tea-12", 12),
        ("tea-{number}", "tea-12-b", None),
        ("tea(1)-{number}", "tea(1)-2", 2),
        ("{word}-{number:2}-*", "tart-07-final cut", 7),
    ],
)
def test_the_number_in_a_name(pattern, name, number):
    read = pattern_of(pattern)
    assert read is not None
    assert read.number_in(name) == number


@pytest.mark.parametrize("wrong", ["", "tea-{number", "tea-}", "{number:0}", "{zahl}", "{}"])
def test_patterns_that_cannot_be_read(wrong):
    assert pattern_of(wrong) is None


def test_the_rules_in_the_readme_are_rules(tmp_path):
    part = README[README.index("## Hand-over rules, by example") :].split("\n## ")[0]
    assert len(part.splitlines()) <= 40
    text = re.search(r"```toml\n(.*?)```", part, re.DOTALL)
    assert text is not None
    rules = rules_of(tmp_path, text[1])
    assert len(rules.rules) == 18
    assert [channel.name for channel in rules.channels] == ["web"]
    # Keys that it names beside its own are keys.
    for key in re.findall(r"also ([a-z_]+)", text[1]):
        assert key in RULE_NAMES
