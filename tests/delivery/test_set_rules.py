"""Rules about the pictures together: each kept and broken, and of channels apart."""

from dataclasses import replace

import pytest

from auditor.delivery.judged import Why
from auditor.geometry import Box
from auditor.runs.outcome import RefusedPicture
from auditor.series.alike import AlikePictures
from auditor.series.crops import CroppedPicture
from auditor.series.white_balance.temperature_clusters import SeriesTemperatureCluster
from tests.delivery.files import grain, jpeg, judged, verdicts
from tests.findings.audited import NOTHING, followed

TALL, WIDE, SQUARE = jpeg(grain(80, 100)), jpeg(grain(100, 80)), jpeg(grain(80, 80))
WHOLE = Box(0.0, 0.0, 1.0, 1.0)


def series(**changes):
    return replace(NOTHING, **changes)


def named(*names, data=TALL):
    return dict.fromkeys(names, data)


def look(*files):
    return series(quantities=(followed("exposure", "EV", *((file, -1.2, -1.2) for file in files)),))


def alike(*files):
    return series(alike=(AlikePictures(files, same_file=False),))


def crops(whole, crop):
    return series(crops=(CroppedPicture(whole, crop, WHOLE, WHOLE),))


FOUR = named("t-1.jpg", "t-2.jpg", "t-3.jpg", "t-4.jpg")
NUMBERED = '[file]\nnames = "t-{number}"\n'
CASES = {
    "pictures": ('[set]\npictures = "at least 4"', FOUR, named("t-1.jpg"), NOTHING, NOTHING),
    "portrait": (
        '[set]\nportrait = "at least 2"',
        FOUR,
        named("t-1.jpg") | named("t-2.jpg", data=SQUARE),
        NOTHING,
        NOTHING,
    ),
    "landscape": (
        "[set]\nlandscape = 1",
        FOUR | named("w.jpg", data=WIDE),
        FOUR,
        NOTHING,
        NOTHING,
    ),
    "square": ("[set]\nsquare = 'none'", FOUR, named("s.jpg", data=SQUARE), NOTHING, NOTHING),
    # The factory's pictures are seen from 45 degrees.
    "three_quarter": ("[set]\nthree_quarter = 4", FOUR, named("t-1.jpg"), NOTHING, NOTHING),
    "overhead": ("[set]\noverhead = 'none'", FOUR, None, NOTHING, None),
    "number_gaps": (
        NUMBERED + "number_gaps = false",
        FOUR,
        named("t-1.jpg", "t-3.jpg", "t-7.jpg"),
        NOTHING,
        NOTHING,
    ),
    "number_doubles": (
        NUMBERED + "number_doubles = false",
        FOUR,
        named("a/t-1.jpg", "b/t-01.jpg"),
        NOTHING,
        NOTHING,
    ),
    "first_number": (
        NUMBERED + "first_number = 1",
        FOUR,
        named("t-2.jpg", "t-3.jpg"),
        NOTHING,
        NOTHING,
    ),
    "same_picture_twice": (
        "[set]\nsame_picture_twice = false",
        FOUR,
        FOUR,
        NOTHING,
        alike("t-1.jpg", "t-3.jpg"),
    ),
    "crops_of_one_picture": (
        "[set]\ncrops_of_one_picture = false",
        FOUR,
        FOUR,
        NOTHING,
        crops("t-1.jpg", "t-3.jpg"),
    ),
}


@pytest.mark.parametrize("rule", CASES)
def test_a_set_that_keeps_a_rule_and_one_that_breaks_it(rule, tmp_path):
    text, kept, broken, of_kept, of_broken = CASES[rule]
    assert verdicts(judged(tmp_path, text, kept, of_kept), rule) == {None: "met"}
    if broken is not None:
        found = judged(tmp_path, text, broken, of_broken)
        assert verdicts(found, rule) == {None: "missed"}


def test_missing_and_double_numbers_are_named(tmp_path):
    text = NUMBERED + "number_gaps = false\nnumber_doubles = false\n"
    files = named("t-1.jpg", "t-3.jpg", "a/t-3.jpg", "t-7.jpg", "tart.jpg")
    found = {one.rule.name: one for one in judged(tmp_path, text, files)}
    assert found["number_gaps"].outcome.found == "2, 4–6"
    assert found["number_doubles"].outcome.found == "3"
    assert set(found["number_doubles"].files) == {"t-3.jpg", "a/t-3.jpg"}


def test_one_look_names_what_leaves_the_set(tmp_path):
    text = "[set]\none_look = true\n"
    found = judged(tmp_path, text, FOUR, look("t-2.jpg"))
    assert verdicts(found, "one_look") == {
        "t-1.jpg": "met",
        "t-2.jpg": "missed",
        "t-3.jpg": "met",
        "t-4.jpg": "met",
    }
    text = '[set]\none_look = ["contrast"]\n'
    found = judged(tmp_path, text, FOUR, look("t-2.jpg"))
    assert set(verdicts(found, "one_look").values()) == {"met"}


def test_a_second_group_of_colour_temperature_is_a_second_look(tmp_path):
    clusters = tuple(
        SeriesTemperatureCluster(5000.0, 200.0, files, 0.0)
        for files in (("t-1.jpg", "t-2.jpg"), ("t-3.jpg", "t-4.jpg"))
    )
    found = judged(
        tmp_path,
        "[set]\none_look = true\n",
        FOUR,
        series(colour_temperature_clusters=clusters),
    )
    assert [*verdicts(found, "one_look").values()] == ["met", "met", "missed", "missed"]


def test_two_pictures_are_too_few_for_one_look(tmp_path):
    (one,) = judged(tmp_path, "[set]\none_look = true\n", named("a.jpg", "b.jpg"))
    assert (one.outcome.verdict, one.outcome.why) == ("undecided", Why.FEW_PICTURES)


@pytest.mark.parametrize("rule", ["same_picture_twice = false", 'portrait = "at least 2"'])
def test_a_picture_that_was_refused_leaves_it_open(rule, tmp_path):
    refused = RefusedPicture("r.jpg", "cut_short", "")
    files = {"r.jpg": (b"\xff\xd8\xff", refused), "a.jpg": TALL}
    (one,) = judged(tmp_path, f"[set]\n{rule}\n", files)
    assert one.outcome.verdict == "undecided"


CHANNELS = """\
[pixels]
long_side = "at least 100"
[set]
same_picture_twice = false

[[channel]]
name = "web"
files = "web/"
long_side = "at most 90"
pictures = 2

[[channel]]
name = "print"
files = "print/*"
"""


def test_a_rule_of_a_channel_replaces_the_one_for_all(tmp_path):
    files = {"web/a.jpg": TALL, "web/b.jpg": SQUARE, "print/a.jpg": TALL, "c.jpg": SQUARE}
    found = judged(tmp_path, CHANNELS, files)
    sizes = {
        (one.rule.channel, one.file): one.outcome.verdict
        for one in found
        if one.rule.name == "long_side"
    }
    assert sizes == {
        (None, "print/a.jpg"): "met",
        (None, "c.jpg"): "missed",
        ("web", "web/a.jpg"): "missed",
        ("web", "web/b.jpg"): "met",
    }
    assert verdicts(found, "pictures") == {None: "met"}


def test_one_picture_in_two_channels_is_no_double(tmp_path):
    files = {"web/a.jpg": TALL, "web/b.jpg": TALL, "print/a.jpg": TALL}
    across = judged(tmp_path, CHANNELS, files, alike("web/a.jpg", "print/a.jpg"))
    assert verdicts(across, "same_picture_twice") == {None: "met"}
    within = judged(tmp_path, CHANNELS, files, alike("web/a.jpg", "web/b.jpg"))
    assert verdicts(within, "same_picture_twice") == {None: "missed"}


def test_a_channel_without_pictures_is_a_broken_rule(tmp_path):
    found = judged(tmp_path, CHANNELS, {"print/a.jpg": TALL})
    assert verdicts(found, "files") == {None: "missed"}
    assert [one.rule.channel for one in found if one.rule.name == "files"] == ["web"]
    # What it asks of its pictures could not be checked.
    assert verdicts(found, "pictures") == {None: "undecided"}
