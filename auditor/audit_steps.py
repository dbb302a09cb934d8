"""The steps of an audit: read, measure, compare, gather, advise, find, write."""

from __future__ import annotations

import logging
from collections.abc import Sequence
from datetime import UTC
from importlib.metadata import version
from pathlib import Path

from auditor import __version__
from auditor.advice.small_pictures import only_written, with_previews
from auditor.audit_request import AuditRequest
from auditor.comparison.set_rules import judge_rules
from auditor.errors import NothingToMeasureError, UnusableArgumentError
from auditor.findings.audited_set import AuditedSet
from auditor.findings.gathering import gather_findings
from auditor.measurements.measured_photograph import MeasuredPhotograph
from auditor.output.among_pictures import would_mix
from auditor.output.previews import find_previews
from auditor.output.report_folder import (
    PAGE_FILE,
    RECORD_FILE,
    TABLE_FILE,
    ReportInWork,
    replace_page,
    report_in_work,
)
from auditor.page.html import render_page
from auditor.photograph.folder import (
    FoundPictures,
    pictures_in,
    printable_name,
    printable_names,
)
from auditor.plan.reading import read_plan
from auditor.plan.shot_plan import Plan
from auditor.planned_set import advise_pictures, compare_pictures, match_shots
from auditor.record.audit_record import AuditRecord
from auditor.record.csv_table import table_text
from auditor.record.filling import Heading, make_record
from auditor.record.json_file import read_record, record_text
from auditor.runs.measuring import Progress, measure_all
from auditor.runs.outcome import Outcome
from auditor.runs.trying import Trials
from auditor.safe_text import one_line
from auditor.series.kind import SetKind, tell_kind
from auditor.series.series import describe_series
from auditor.wording.messages import with_messages

# What the numbers and the page depend on; the record says which versions made it.
LIBRARIES = ("numpy", "scipy", "scikit-image", "pillow", "piexif", "pydantic", "jinja2")

_logger = logging.getLogger(__name__)


def audit(request: AuditRequest, progress: Progress, trying: Progress | None = None) -> AuditRecord:
    """Audit a folder and write its report.

    Parameters
    ----------
    request : AuditRequest
    progress : callable
        Called with the number of pictures done, their total, and the file just finished.
    trying : callable or None
        The same while corrections are tried.

    Returns
    -------
    AuditRecord
        As written to ``audit.json``.

    Raises
    ------
    UnusableArgumentError
        The folder cannot be read, or the report's folder cannot be written or holds files that
        no earlier report wrote.
    InvalidPlanError
        The plan is wrong; nothing was measured.
    NothingToMeasureError
        No picture could be measured; nothing was written.
    """
    plan = None if request.plan is None else read_plan(request.plan)
    found = _pictures(request)
    folder, plan_file = one_line(str(request.folder)), one_line(str(request.plan))
    _logger.info("%s: %d pictures, plan: %s", folder, len(found.files), plan_file)
    if request.directory is None:
        outcomes = _measured(request, found, None, progress)
        return _record(request, plan, found, outcomes, trying, None)
    with report_in_work(request.directory, proofs=request.proofs) as report:
        outcomes = _measured(request, found, report.pictures, progress)
        record = _record(request, plan, found, outcomes, trying, report)
        previews = {
            outcome.picture.file: outcome.preview
            for outcome in outcomes
            if outcome.preview is not None
        }
        report.publish(
            {
                RECORD_FILE: record_text(record),
                TABLE_FILE: table_text(record),
                PAGE_FILE: render_page(record, previews),
            }
        )
    _logger.info("%s: report written", one_line(str(request.directory)))
    return record


def redraw(directory: Path) -> Path:
    """Draw the page of an earlier audit again, from its record and its previews alone.

    Parameters
    ----------
    directory : Path
        The report's folder.

    Returns
    -------
    Path
        The page.

    Raises
    ------
    UnusableArgumentError
        Where there is no record that this version can read, or the page cannot be written.
    """
    record = read_record(directory / RECORD_FILE)
    previews = find_previews(directory, [picture.file for picture in record.images])
    return replace_page(directory, render_page(record, previews))


def _measured(
    request: AuditRequest, found: FoundPictures, previews: Path | None, progress: Progress
) -> tuple[Outcome, ...]:
    return measure_all(
        request.folder,
        found.files,
        previews,
        jobs=request.jobs,
        store=request.store,
        fresh=request.fresh,
        finder=request.finder,
        progress=progress,
    )


def _pictures(request: AuditRequest) -> FoundPictures:
    if request.chosen is not None:
        return FoundPictures(request.chosen, ())
    is_there = request.folder.is_dir()
    if is_there and request.directory and would_mix(request.folder, request.directory):
        raise UnusableArgumentError(
            f"{printable_name(str(request.folder))}: the report would be written among the "
            "pictures to audit. Name another folder with --out."
        )
    return pictures_in(request.folder, leave_out=request.directory)


def _record(
    request: AuditRequest,
    plan: Plan | None,
    found: FoundPictures,
    outcomes: Sequence[Outcome],
    trying: Progress | None,
    report: ReportInWork | None,
) -> AuditRecord:
    measured = [
        outcome.picture for outcome in outcomes if isinstance(outcome.picture, MeasuredPhotograph)
    ]
    if not measured:
        raise NothingToMeasureError(_nothing_measured(request.folder, outcomes))
    series = describe_series(measured)
    pictures = [outcome.picture for outcome in outcomes]
    matches, shots = match_shots(plan, pictures, measured, series)
    planned = compare_pictures(plan, matches, shots, measured, series)
    kind = tell_kind(measured, request.kind)
    trials = Trials(
        request.folder,
        found.files,
        measured,
        jobs=request.jobs,
        store=request.store,
        fresh=request.fresh,
        finder=request.finder,
        progress=trying or (lambda *_: None),
    )
    advised = advise_pictures(
        plan, shots, planned, measured, series, trials, is_set=kind.kind is SetKind.SET
    )
    advice = advised.advice
    if report is not None:
        files = [picture.file for picture in pictures]
        advice, versions = with_previews(
            advice, advised.proofs, files, report.pictures, report.proofs
        )
        trials.write(versions)
        advice = only_written(advice, report.pictures)
    audited = AuditedSet(
        pictures=pictures,
        planned=planned,
        advice=advice,
        matches=matches,
        series=series,
        kind=kind,
        unreadable_folders=printable_names(found.unreadable_folders),
        rules=() if plan is None else judge_rules(plan, pictures),
    )
    heading = Heading(
        auditor_version=__version__,
        created=request.created.astimezone(UTC).isoformat(timespec="seconds"),
        libraries={name: version(name) for name in LIBRARIES},
        folder=printable_name(request.folder.as_posix()),
        plan=None if request.plan is None else printable_name(request.plan.as_posix()),
        title=None if plan is None else plan.title,
        plan_remarks=() if plan is None else plan.remarks,
    )
    return with_messages(make_record(heading, audited, gather_findings(audited)))


def _nothing_measured(folder: Path, outcomes: Sequence[Outcome]) -> str:
    refusals = [
        f"{outcome.picture.file}: {outcome.picture.message}"
        for outcome in outcomes
        if not isinstance(outcome.picture, MeasuredPhotograph)
    ]
    shown = printable_name(str(folder))
    return "\n  ".join([f"{shown}: no picture in it could be measured.", *refusals])
