"""The commands: rules checked, examples printed, a folder audited with rules."""

import html
import json
import re

import piexif
import pytest

import auditor
from auditor.delivery.examples import NAMES
from tests.conftest import WorkersHere, draw_dish
from tests.delivery.files import (
    SECRET_CAPTION,
    SECRET_LATITUDE,
    SECRET_SERIAL,
    SRGB,
    bag,
    dataset,
    exif,
    jpeg,
    xmp,
)
from tests.delivery.test_reading import TEN_FAULTS

RULES = """\
title = "Winter menu"
[metadata]
location = false
serial_numbers = false
caption = false
creator = true
[pixels]
long_side = "at least 600"
ratio = "4:5"
[file]
type = "JPEG"
names = "tart-{number}"
number_gaps = false
[picture]
halos = "at most 20 %"
[set]
same_picture_twice = false
"""
HOSTILE = 'tart <script src="x">&.jpg'


@pytest.fixture(autouse=True)
def _here(monkeypatch):
    monkeypatch.setattr("auditor.runs.run.Processes", WorkersHere)


def secret_picture():
    block = exif(
        {piexif.ImageIFD.Artist: b"A. Tea"},
        {0xA431: SECRET_SERIAL.encode(), 0xA430: b"Owner-Secret"},
        {2: SECRET_LATITUDE, 1: b"N"},
    )
    words = dataset(2, 120, SECRET_CAPTION) + dataset(2, 25, "keyword-secret")
    packet = xmp(f'aux:SerialNumber="{SECRET_SERIAL}"', bag("dc:description", SECRET_CAPTION))
    return jpeg(draw_dish(seed=1), exif=block, iptc=words, xmp=packet, icc_profile=SRGB)


@pytest.fixture
def folder(tmp_path):
    pictures = tmp_path / "pictures"
    pictures.mkdir()
    creator = exif({piexif.ImageIFD.Artist: b"A. Tea"})
    (pictures / "tart-1.jpg").write_bytes(jpeg(draw_dish((0.6, 0.4)), exif=creator))
    (pictures / "tart-3.jpg").write_bytes(secret_picture())
    (pictures / HOSTILE).write_bytes(jpeg(draw_dish((0.3, 0.7), size=(400, 400))))
    (pictures / "tart-4.jpg").write_bytes(b"\xff\xd8\xff\xe0 cut short")
    (tmp_path / "rules.toml").write_text(RULES, encoding="utf-8")
    return pictures


def test_ten_faults_are_told_and_nothing_is_measured(call_auditor, tmp_path):
    (tmp_path / "rules.toml").write_text(TEN_FAULTS, encoding="utf-8")
    for words in (["delivery", "check"], ["audit", "pictures", "--out", "out", "--delivery"]):
        done = call_auditor(*words, "rules.toml")
        assert done.returncode == 2
        lines = done.stderr.splitlines()
        assert len(lines) == 13
        assert all(line.startswith("rules.toml:") for line in lines)
    assert not (tmp_path / "out").exists()


@pytest.mark.parametrize("name", NAMES)
def test_an_example_is_written_and_understood(name, call_auditor, tmp_path):
    written = call_auditor("delivery", "example", name)
    (tmp_path / "own.toml").write_text(written.stdout, encoding="utf-8")
    own, by_name = (call_auditor("delivery", "check", one) for one in ("own.toml", name))
    assert own.returncode == by_name.returncode == 0
    assert own.stderr == by_name.stderr
    assert len([line for line in own.stderr.splitlines() if line.startswith("- ")]) > 10


def test_an_unknown_example_is_refused(call_auditor):
    done = call_auditor("delivery", "example", "book")
    assert done.returncode == 2
    assert "client, portfolio, web" in done.stderr


@pytest.fixture
def audited(folder, call_auditor, tmp_path):
    done = call_auditor(*("audit", folder, "--delivery", "rules.toml", "--out", "out", "--strict"))
    return done, json.loads((tmp_path / "out" / "audit.json").read_text(encoding="utf-8"))


def test_a_broken_rule_ends_with_1_where_that_is_asked(audited, folder, call_auditor):
    assert audited[0].returncode == 1
    done = call_auditor("audit", folder, "--delivery", "rules.toml", "--out", "out")
    assert done.returncode == 0


def test_rules_that_are_kept_end_with_0(folder, call_auditor, tmp_path):
    (tmp_path / "kept.toml").write_text('[set]\npictures = "at least 2"\n', encoding="utf-8")
    done = call_auditor(
        *("audit", folder / "tart-1.jpg", folder / "tart-3.jpg"),
        *("--delivery", "kept.toml", "--out", "out", "--strict"),
    )
    assert done.returncode == 0


def test_the_record_has_every_rule_of_every_picture(audited):
    rows = audited[1]["delivery"]
    verdicts = {(row["rule"], row["file"]): row["verdict"] for row in rows}
    assert verdicts["location", "tart-1.jpg"] == "met"
    assert verdicts["location", "tart-3.jpg"] == "missed"
    assert verdicts["location", "tart-4.jpg"] == "undecided"
    assert verdicts["serial_numbers", "tart-3.jpg"] == "missed"
    assert verdicts["caption", "tart-3.jpg"] == "missed"
    assert verdicts["names", HOSTILE] == "missed"
    assert verdicts["names", "tart-4.jpg"] == "met"  # though it could not be measured
    assert verdicts["ratio", HOSTILE] == "missed"
    assert verdicts["number_gaps", None] == "missed"
    assert {row["file"] for row in rows if row["rule"] == "type"} == {
        "tart-1.jpg",
        "tart-3.jpg",
        "tart-4.jpg",
        HOSTILE,
    }
    told = [one for one in audited[1]["findings"] if one["code"] == "location"]
    assert told == []  # the rule says it


def test_the_page_says_what_the_record_says(audited, tmp_path):
    page = (tmp_path / "out" / "index.html").read_text(encoding="utf-8")
    section = re.search(r'<section id="handover".*?</section>', page, re.DOTALL)
    assert section is not None
    text = html.unescape(re.sub(r"<[^>]*>", "", section[0]))
    for row in audited[1]["delivery"]:
        if row["verdict"] != "met":
            assert row["message"] in text
    assert "<script" not in section[0]
    assert "Winter menu" in text
    before = page
    assert auditor.audit  # the page is drawn again from the record alone
    from auditor.audit_steps import redraw

    assert redraw(tmp_path / "out").read_text(encoding="utf-8") == before


def test_no_serial_number_caption_or_place_is_shown(audited, tmp_path):
    secrets = (SECRET_SERIAL, "Owner-Secret", SECRET_CAPTION, "keyword-secret", "4711")
    for file in (tmp_path / "out").rglob("*"):
        data = file.read_bytes() if file.is_file() and file.suffix != ".webp" else b""
        text = re.sub(rb"[0-9a-f]{64}", b"", data)
        assert [secret for secret in secrets if secret.encode() in text] == [], file
    assert not any(secret in audited[0].stderr for secret in secrets)


def test_the_library_takes_rules(folder, measuring_here):
    del measuring_here
    record = auditor.audit(folder, delivery=folder.parent / "rules.toml")
    assert record.delivery
    with pytest.raises(auditor.InvalidRulesError):
        auditor.audit(folder, delivery="none.toml")


def test_without_rules_there_is_nothing_of_them(folder, call_auditor, tmp_path):
    call_auditor("audit", folder, "--out", "out")
    assert json.loads((tmp_path / "out" / "audit.json").read_text("utf-8"))["delivery"] is None
    assert 'id="handover"' not in (tmp_path / "out" / "index.html").read_text("utf-8")
