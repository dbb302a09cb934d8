"""The page is made from the record and the previews alone."""

import json
import re
import shutil

import pytest

from auditor.errors import UnusableArgumentError
from auditor.redrawing import redraw


@pytest.fixture
def report(demo, tmp_path):
    """A copy of the demo's report."""
    return shutil.copytree(demo, tmp_path / "report")


def test_the_page_drawn_again_equals_that_of_the_audit(report):
    page = report / "index.html"
    before = page.read_bytes()
    page.unlink()
    assert redraw(report) == page
    assert page.read_bytes() == before
    assert {path.name for path in report.iterdir()} == {
        "audit.json",
        "index.html",
        "measurements.csv",
        "pictures",
        "verdicts.csv",
    }


def test_a_change_of_the_record_is_drawn(report):
    record = report / "audit.json"
    text = record.read_text(encoding="utf-8")
    record.write_text(text.replace("steam at the window", "tea at dawn"), encoding="utf-8")
    page = redraw(report).read_text(encoding="utf-8")
    assert "tea at dawn" in page
    assert "steam at the window" not in page


def test_an_earlier_record_is_gathered_by_picture_when_it_is_drawn(report):
    page, path = report / "index.html", report / "audit.json"
    before = page.read_bytes()
    record = json.loads(path.read_text(encoding="utf-8"))
    assert record.pop("attention")
    for finding in record["findings"]:
        del finding["gravity"]
    path.write_text(json.dumps(record), encoding="utf-8")
    assert redraw(report).read_bytes() == before


def test_a_lost_preview_leaves_its_picture_described(report):
    for lost in (report / "pictures").glob("0001-*"):
        lost.unlink()
    page = redraw(report).read_text(encoding="utf-8")
    assert "0001-" not in page
    assert "01-kettle-and-clementines.jpg" in page


@pytest.mark.parametrize(
    ("text", "words"),
    [
        (None, "cannot be read"),
        ("no JSON", "is not valid JSON"),
        ("[]", "version None"),
        (json.dumps({"schema_version": 1}), "version 1"),
        (json.dumps({"schema_version": 2}), "was not written by auditor"),
    ],
)
def test_what_is_no_record_of_this_version_is_refused(tmp_path, text, words):
    if text is not None:
        (tmp_path / "audit.json").write_text(text, encoding="utf-8")
    (tmp_path / "index.html").write_text("the earlier page", encoding="utf-8")
    with pytest.raises(UnusableArgumentError, match=words):
        redraw(tmp_path)
    assert (tmp_path / "index.html").read_text(encoding="utf-8") == "the earlier page"


def test_a_summary_and_a_page_with_its_pictures_are_drawn_again(report):
    record = report / "audit.json"
    asked = json.loads(record.read_text(encoding="utf-8")) | {"forms": ["single_file", "summary"]}
    record.write_text(json.dumps(asked), encoding="utf-8")
    redraw(report)
    names = ("index.html", "summary.html")
    pages = [(report / name).read_text(encoding="utf-8") for name in names]
    for page in pages:
        assert 'src="data:image/jpeg;base64,' in page
        assert 'src="pictures/' not in page
        assert not re.search(r'href="(?!#|data:)', page)
    redraw(report)
    assert pages == [(report / name).read_text(encoding="utf-8") for name in names]
