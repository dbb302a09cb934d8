"""Hostile names of files, shots and things, and hostile metadata, in all that an audit writes."""

from __future__ import annotations

import csv
import io
import json
from html.parser import HTMLParser
from pathlib import Path

import pytest

from auditor.console import say, write_path
from auditor.measured_to_record import without_folders_above
from auditor.page.html import render_page, render_summary
from auditor.record.json_file import record_text
from auditor.record.plan_records import PicturePlanRecord
from auditor.tables.measurements import measurement_table
from auditor.tables.verdicts import verdict_table
from auditor.wording.attention import attention_lines
from auditor.wording.messages import with_messages
from tests.hostile_texts import HOSTILE_TEXTS, SURROGATES, unsafe_in
from tests.records import CAMERA, audit, item, measured

# Names as the record has them: bytes that are no text are replaced before (`printable_names`).
TEXTS = [text for text in HOSTILE_TEXTS if not set(text) & set(SURROGATES)]


def hostile_record():
    """A picture for each text: its folder, name, shot, missed thing, camera and rights."""
    images = []
    for number, text in enumerate(TEXTS):
        missed = item(
            "supporting", [0.3, 0.7], [0.7, 0.75], 0.4, 0.1, "fraction of diagonal", "missed", text
        )
        reason = missed.model_copy(update={"on_purpose": text})
        images.append(
            measured(
                f"{text}/{number} {text}.jpg",
                plan=PicturePlanRecord(shot=f"{number}{text}", items=[missed, reason]),
                camera=CAMERA.model_copy(update={"make": text, "model": text, "lens": text}),
                creator=text,
                copyright=text,
                colour_profile=text,
            )
        )
    record = audit(refused=False, images=images)
    return with_messages(record.model_copy(update={"title": TEXTS[0], "folder": TEXTS[1]}))


@pytest.fixture(scope="module")
def record():
    return hostile_record()


class Page(HTMLParser):
    """The elements of a page, and every text and attribute that a browser shows or follows."""

    def __init__(self, text):
        super().__init__()
        self.elements, self.shown, self.attributes = [], [], []
        self.feed(text)
        self.close()

    def handle_starttag(self, tag, attrs):
        self.elements.append(tag)
        self.attributes += attrs

    def handle_data(self, data):
        self.shown.append(data)


@pytest.mark.parametrize("render", [render_page, render_summary])
def test_the_page_shows_names_and_nothing_else_of_them(record, render):
    page = Page(render(record, {}))
    for text in (*page.shown, *(value or "" for _, value in page.attributes)):
        assert not unsafe_in(text) - {"\n"}
    assert page.elements.count("script") <= 1
    assert "img" not in page.elements
    assert not [name for name, _ in page.attributes if name.startswith("on")]
    links = [value for name, value in page.attributes if name in {"href", "src"}]
    files = {"audit.json", "measurements.csv", "verdicts.csv", "data:,"}
    assert [link for link in links if not link.startswith("#") and link not in files] == []


@pytest.mark.parametrize("table", [measurement_table, verdict_table])
def test_no_cell_of_the_tables_is_a_formula(record, table):
    head, *rows = csv.reader(io.StringIO(table(record).removeprefix("\ufeff")))
    assert len(rows) >= len(TEXTS)
    assert {len(row) for row in rows} == {len(head)}
    for cell in (cell for row in rows for cell in row):
        assert not unsafe_in(cell)
        start = cell.lstrip().lstrip("\"'").lstrip()[:1]
        is_number = start in "+-" and cell[1:2].isdigit()
        assert cell.startswith("'") or is_number or not start or start not in "=+-@＝＋－＠"


def test_the_record_names_the_files_and_shows_nothing_harmful(record):
    text = record_text(record)
    assert not unsafe_in(text) - {"\n"}
    read = json.loads(text)
    assert [picture["file"] for picture in read["images"]] == [
        f"{text}/{number} {text}.jpg" for number, text in enumerate(TEXTS)
    ]
    said = [finding["message"] for finding in read["findings"]]
    said += [sentence for entry in read["attention"] for sentence in entry["to_do"]]
    said += [one["message"] for image in read["images"] for one in image["plan"]["items"]]
    assert len(said) > len(TEXTS)
    assert not [sentence for sentence in said if unsafe_in(sentence)]


def test_the_terminal_gets_one_line_for_each_message(record, capsys):
    lines = list(attention_lines(record, 1000))
    for line in lines:
        say(line)
    for text in HOSTILE_TEXTS:
        say(text)
        write_path(Path(text))
    written, said = capsys.readouterr()
    assert said.count("\n") == len(lines) + len(HOSTILE_TEXTS)
    assert written.count("\n") == len(HOSTILE_TEXTS)
    assert not unsafe_in(said + written) - {"\n"}


def test_no_folder_above_the_audited_one_is_recorded(tmp_path, monkeypatch):
    inside = tmp_path / "clients" / "a client" / "finals"
    inside.mkdir(parents=True)
    monkeypatch.chdir(inside.parent)
    assert without_folders_above(Path("finals")) == "finals"
    assert without_folders_above(Path("finals/web")) == "finals/web"
    assert without_folders_above(Path()) == "."
    assert without_folders_above(inside) == "finals"
    assert without_folders_above(Path("../a client/finals")) == "finals"
    assert without_folders_above(Path("..")) == "clients"
    assert without_folders_above(inside / "plan.toml") == "plan.toml"
