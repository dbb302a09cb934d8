"""The page of pictures that are no one set, and of single pictures."""

import json
import re
from datetime import UTC, datetime

import pytest

from auditor.audit_request import AuditRequest
from auditor.measured_to_record import Measured
from auditor.measured_to_record import record_of as record_of_measured
from auditor.page.html import render_page
from auditor.photograph.folder import FoundPictures
from auditor.record.audit_record import AuditRecord
from auditor.record.json_file import record_text
from auditor.runs.outcome import Outcome
from auditor.runs.run import starting_run
from auditor.series.kind import SetKind
from tests.series.made_pictures import of_many_makers, of_one_table, picture

HOSTILE = 'z <script>alert("1")</script>.jpg'


@pytest.fixture(scope="module")
def pictures():
    twins = [picture("y twin.jpg", table=6, angle=46.0), picture(HOSTILE, table=6)]
    return [*of_many_makers(6), *twins]


def record_of(pictures, tmp_path, kind=None):
    request = AuditRequest(
        folder=tmp_path,
        plan=None,
        directory=None,
        jobs=1,
        store=None,
        created=datetime(2026, 12, 1, tzinfo=UTC),
        kind=kind,
    )
    outcomes = [Outcome(one, None) for one in pictures]
    found = FoundPictures(tuple(one.file for one in pictures), ())
    measured = Measured(request, None, None, found, outcomes)
    with starting_run(jobs=1, store=None) as run:
        return record_of_measured(measured, None, run, lambda *_: None)


def test_the_page_has_what_the_record_has(pictures, tmp_path):
    record = record_of(pictures, tmp_path)
    assert record.kind.kind == "portfolio"
    page = render_page(record, {})
    text = re.sub(r"\s+", " ", page.replace("&#39;", "'"))
    assert record.kind.message in text
    for variety in record.portfolio.varieties:
        assert variety.message in text
        for one in variety.classes:
            assert f'<td class="n">{len(one.files)}</td>' in text
    (group,) = record.portfolio.repetitions
    assert group.files == ["y twin.jpg", HOSTILE]
    assert group.message in text
    assert record.portfolio.order.message in text
    for move in record.portfolio.order.moves:
        assert move.message in text
    for one in record.portfolio.only:
        assert one.message in text
    assert "<script>" not in page


def test_the_page_can_be_drawn_again(pictures, tmp_path):
    record = record_of(pictures, tmp_path)
    read = AuditRecord.model_validate(json.loads(record_text(record)))
    assert render_page(read, {}) == render_page(record, {})


def test_nothing_leaves_a_portfolio_anywhere(pictures, tmp_path):
    record = record_of(pictures, tmp_path, SetKind.PORTFOLIO)
    said = json.dumps(record.model_dump(mode="json"))
    page = render_page(record, {})
    for words in ("leaves the set", "leave the set", "rest of the set", "unlike the others"):
        assert words not in said
    assert "leave the set" not in page.split('id="manual"')[0]
    assert not any(quantity.outliers for quantity in record.series.quantities)
    assert {finding.code for finding in record.findings} <= {"repeated", "nearly_the_same"}


def test_a_set_has_its_charts_and_no_variety(tmp_path):
    record = record_of(of_one_table(6), tmp_path)
    assert (record.kind.kind, record.portfolio) == ("set", None)
    page = render_page(record, {})
    assert 'class="charts"' in page
    assert 'class="portfolio"' not in page


@pytest.mark.parametrize("pictures", [of_one_table(6), of_many_makers(6)])
def test_single_pictures_have_no_part_about_the_set(pictures, tmp_path):
    record = record_of(pictures, tmp_path, SetKind.SINGLE)
    page = render_page(record, {})
    assert 'id="set"' not in page
    assert 'href="#set"' not in page
    assert record.portfolio is None
    assert record.headline == [
        "No plan was given, so each picture is measured and described by itself."
    ]


@pytest.mark.parametrize("kind", list(SetKind))
def test_what_is_given_wins(kind, pictures, tmp_path):
    for some in (pictures, of_one_table(6)):
        record = record_of(some, tmp_path, kind)
        assert (record.kind.kind, record.kind.is_given) == (kind, True)
        assert (record.portfolio is not None) == (kind is SetKind.PORTFOLIO)
