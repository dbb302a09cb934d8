from __future__ import annotations

import csv
import io
import json
import tomllib

import pytest

from auditor.page.html import page_environment
from auditor.plan_sheet.page import page_environment_of_sheets
from auditor.safe_text import (
    MOST_LETTERS,
    for_csv,
    for_json,
    for_page,
    for_terminal,
    one_line,
    quoted,
    shown_path,
)
from auditor.tables.csv_text import csv_text
from tests.hostile_texts import BY_CATEGORY, FORMULAS, HOSTILE_TEXTS, SURROGATES, unsafe_in

# What a spreadsheet may take for the start of a formula, once blanks and quotes are gone.
STARTS = "=+-@\uff1d\uff0b\uff0d\uff20"


def test_the_corpus_is_hostile():
    assert len(set(HOSTILE_TEXTS)) >= 88
    harmful = {name for name, texts in BY_CATEGORY.items() if any(unsafe_in(t) for t in texts)}
    assert set(BY_CATEGORY) - harmful == {"markup", "length"}


@pytest.mark.parametrize("text", HOSTILE_TEXTS, ids=ascii)
def test_nothing_harmful_is_left_on_one_line(text):
    for safe in (one_line(text), for_page(text), for_csv(text), shown_path(text)):
        assert not unsafe_in(safe)
        assert safe.encode("utf-8")
    assert not unsafe_in(for_terminal(text)) - {"\n"}


@pytest.mark.parametrize("text", HOSTILE_TEXTS, ids=ascii)
def test_a_message_keeps_its_lines_and_no_word_fills_the_screen(text):
    shown = for_terminal(f"first {one_line(text)}\nsecond {one_line(text)}")
    assert shown.count("\n") == 1
    assert max(len(word) for word in shown.split()) <= MOST_LETTERS + 1


def test_a_word_that_fits_is_not_shortened():
    assert for_terminal("x" * MOST_LETTERS) == "x" * MOST_LETTERS
    assert for_terminal("x" * (MOST_LETTERS + 1)).count("…") == 1


@pytest.mark.parametrize("text", HOSTILE_TEXTS, ids=ascii)
def test_no_cell_is_a_formula(text):
    (row,) = csv.reader(io.StringIO(csv_text([text], []).removeprefix("\ufeff")))
    (_, cells) = csv.reader(io.StringIO(csv_text(["name"], [[text]]).removeprefix("\ufeff")))
    assert len(cells) == len(row) == 1
    start = cells[0].lstrip().lstrip("\"'").lstrip()[:1]
    assert cells[0].startswith("'") or start not in set(STARTS)


def test_only_what_may_be_a_formula_gets_an_apostrophe():
    assert all(for_csv(text).startswith("'") for text in FORMULAS)
    assert for_csv('"Winter" - first') == '"Winter" - first'
    assert for_csv("a=b") == "a=b"
    assert for_csv("") == ""


@pytest.mark.parametrize("text", [t for t in HOSTILE_TEXTS if not set(t) & set(SURROGATES)])
def test_json_keeps_the_value_and_shows_nothing_harmful(text):
    document = for_json(json.dumps({text: [text]}, ensure_ascii=False, indent=1))
    assert json.loads(document) == {text: [text]}
    assert not unsafe_in(document) - {"\n"}


def test_json_of_a_lone_surrogate_can_be_written():
    for text in SURROGATES:
        document = for_json(json.dumps(text, ensure_ascii=False))
        assert document.encode("utf-8")
        assert json.loads(document) == text


@pytest.mark.parametrize("text", [t for t in HOSTILE_TEXTS if not set(t) & set(SURROGATES)])
def test_a_toml_string_keeps_the_value_on_one_line(text):
    assert tomllib.loads(f"key = {quoted(text)}") == {"key": text}
    assert not unsafe_in(quoted(text))


@pytest.mark.parametrize("environment", [page_environment, page_environment_of_sheets])
@pytest.mark.parametrize("text", HOSTILE_TEXTS, ids=ascii)
def test_every_template_makes_text_safe(environment, text):
    template = environment().from_string('<p title="{{ a }}">{{ a }}{{ "%s" | format(a) }}</p>')
    shown = template.render(a=text)
    assert not unsafe_in(shown)
    assert shown.count("<") == 2
    assert shown.count('"') == 2


def test_blanks_of_other_scripts_are_blanks():
    assert one_line("tea\u00a0pot\u3000茶") == "tea pot 茶"


def test_a_path_shows_where_its_bytes_are_no_text():
    assert shown_path("caf\udce9/a\nb") == "caf\ufffd/a\ufffdb"
