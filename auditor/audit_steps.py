"""The steps of an audit: read, measure, compare, gather, advise, find, write."""

from __future__ import annotations

import logging
from collections.abc import Callable, Mapping, Sequence
from datetime import UTC
from importlib.metadata import version
from pathlib import Path

from auditor import __version__
from auditor.audit_request import AuditRequest
from auditor.comparison.set_rules import judge_rules
from auditor.delivery.judge import examine, judge_delivery
from auditor.delivery.judged import JudgedRule
from auditor.delivery.reading import read_rules
from auditor.delivery.rules import Rules
from auditor.errors import NothingToMeasureError, ShootsUnreadableError, UnusableArgumentError
from auditor.findings.audited_set import AuditedSet
from auditor.findings.gathering import gather_findings
from auditor.history.shoot_store import remember_shoot
from auditor.history.shoots_file import shoots_beside
from auditor.measurements.measured_photograph import MeasuredPhotograph
from auditor.output.among_pictures import would_mix
from auditor.output.pictures_inside import pictures_inside
from auditor.output.previews import PICTURES_FOLDER, Preview, find_previews
from auditor.output.report_folder import (
    OPTIONAL_FILES,
    PAGE_FILE,
    RECORD_FILE,
    SUMMARY_FILE,
    TABLE_FILE,
    VERDICTS_FILE,
    replace_page,
    report_in_work,
)
from auditor.page.html import render_page, render_summary
from auditor.photograph.folder import (
    FoundPictures,
    pictures_in,
    printable_name,
    printable_names,
)
from auditor.plan.reading import read_plan
from auditor.plan.shot_plan import Plan
from auditor.planned_set import advise_pictures, compare_pictures, match_shots
from auditor.record.audit_record import AuditRecord, ReportForm
from auditor.record.by_picture import with_attention
from auditor.record.filling import Heading, make_record
from auditor.record.json_file import read_record, record_text
from auditor.runs.measuring import Progress, measure_all
from auditor.runs.outcome import Outcome, RefusedPicture
from auditor.safe_text import one_line
from auditor.series.kind import SetKind, tell_kind
from auditor.series.portfolio import describe_portfolio, of_no_set
from auditor.series.series import Series, describe_series
from auditor.tables.measurements import measurement_table
from auditor.tables.verdicts import verdict_table
from auditor.wording.messages import with_messages

# What the numbers and the page depend on; the record says which versions made it.
LIBRARIES = ("numpy", "scipy", "scikit-image", "pillow", "piexif", "pydantic", "jinja2")

_logger = logging.getLogger(__name__)


def _silent(_doing: str) -> None:
    """Nobody asked what is done now."""


def audit(
    request: AuditRequest, progress: Progress, now: Callable[[str], None] = _silent
) -> AuditRecord:
    """Audit a folder and write its report.

    Parameters
    ----------
    request : AuditRequest
    progress : callable
        Called with the number of pictures done, their total, and the file just finished.
    now : callable
        Called with what is done from then on, where there is nothing to count.

    Returns
    -------
    AuditRecord
        As written to ``audit.json``.

    Raises
    ------
    UnusableArgumentError
        The folder cannot be read, or the report's folder cannot be written or holds files that
        no earlier report wrote.
    InvalidPlanError, InvalidRulesError
        The plan or the rules of the hand-over are wrong; nothing was measured.
    NothingToMeasureError
        No picture could be measured; nothing was written.
    """
    plan = None if request.plan is None else read_plan(request.plan)
    now("Looking for pictures")
    rules = None if request.delivery is None else read_rules(request.delivery)
    found = _pictures(request)
    folder, plan_file = one_line(str(request.folder)), one_line(str(request.plan))
    _logger.info("%s: %d pictures, plan: %s", folder, len(found.files), plan_file)
    if request.directory is None:
        outcomes = _measured(request, found, None, progress)
        now("Comparing the pictures")
        record = _record(request, plan, rules, found, outcomes)
        _remember(request, record)
        return record
    optional = [file for form, file in OPTIONAL_FILES.items() if form in _forms(request)]
    with report_in_work(request.directory, optional) as report:
        outcomes = _measured(request, found, report.pictures, progress)
        now("Comparing the pictures")
        record = _record(request, plan, rules, found, outcomes)
        now("Writing the report")
        previews = {
            outcome.picture.file: outcome.preview
            for outcome in outcomes
            if outcome.preview is not None
        }
        report.publish(
            {
                RECORD_FILE: record_text(record),
                TABLE_FILE: measurement_table(record),
                VERDICTS_FILE: verdict_table(record),
                **_pages(record, previews, report.pictures),
            }
        )
    _logger.info("%s: report written", one_line(str(request.directory)))
    _remember(request, record)
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
    if record.findings and not record.attention:  # an earlier version did not gather them
        record = with_messages(with_attention(record))
    previews = find_previews(directory, [picture.file for picture in record.images])
    pages = _pages(record, previews, directory / PICTURES_FOLDER)
    for name, text in pages.items():
        replace_page(directory, text, name)
    return directory / PAGE_FILE


def _forms(request: AuditRequest) -> tuple[ReportForm, ...]:
    wanted: dict[ReportForm, bool] = {
        "single_file": request.single_file,
        "summary": request.summary,
    }
    return tuple(form for form, is_wanted in wanted.items() if is_wanted)


def _pages(record: AuditRecord, previews: Mapping[str, Preview], pictures: Path) -> dict[str, str]:
    """The pages that a record asks for, by the names of their files."""
    pages = {PAGE_FILE: render_page(record, previews)}
    if "summary" in record.forms:
        pages[SUMMARY_FILE] = render_summary(record, previews)
    if "single_file" in record.forms:
        pages = {name: pictures_inside(text, pictures) for name, text in pages.items()}
    return pages


def _remember(request: AuditRequest, record: AuditRecord) -> None:
    """Remember the shoot where measurements are remembered; an audit never fails for it."""
    if request.store is None or request.finder is not None:
        return
    try:
        is_kept = remember_shoot(shoots_beside(request.store), record, request.folder)
    except (ShootsUnreadableError, OSError) as error:
        _logger.warning("the shoot is not remembered: %s", one_line(str(error)))
        return
    _logger.info("the shoot is %s", "remembered" if is_kept else "not one to remember")


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
    rules: Rules | None,
    found: FoundPictures,
    outcomes: Sequence[Outcome],
) -> AuditRecord:
    measured = [
        outcome.picture for outcome in outcomes if isinstance(outcome.picture, MeasuredPhotograph)
    ]
    if not measured:
        raise NothingToMeasureError(_nothing_measured(request.folder, outcomes))
    kind = tell_kind(measured, request.kind, has_plan=plan is not None)
    is_set = kind.kind is SetKind.SET
    described = describe_series(measured)
    series = described if is_set else of_no_set(described, measured)
    is_portfolio = kind.kind is SetKind.PORTFOLIO
    pictures = [outcome.picture for outcome in outcomes]
    matches, shots = match_shots(plan, pictures, measured, series)
    planned = compare_pictures(plan, matches, shots, measured, series)
    audited = AuditedSet(
        pictures=pictures,
        planned=planned,
        advice=advise_pictures(plan, shots, planned, measured, series),
        matches=matches,
        series=series,
        kind=kind,
        portfolio=describe_portfolio(measured) if is_portfolio else None,
        unreadable_folders=printable_names(found.unreadable_folders),
        rules=() if plan is None else judge_rules(plan, pictures),
        delivery=None if rules is None else _delivery(request, rules, found, pictures, series),
    )
    heading = Heading(
        auditor_version=__version__,
        created=request.created.astimezone(UTC).isoformat(timespec="seconds"),
        libraries={name: version(name) for name in LIBRARIES},
        folder=printable_name(request.folder.as_posix()),
        plan=None if request.plan is None else printable_name(request.plan.as_posix()),
        title=None if plan is None else plan.title,
        plan_remarks=() if plan is None else plan.remarks,
        delivery_title=None if rules is None else rules.title,
        forms=_forms(request),
    )
    return with_messages(make_record(heading, audited, gather_findings(audited)))


def _delivery(
    request: AuditRequest,
    rules: Rules,
    found: FoundPictures,
    pictures: Sequence[MeasuredPhotograph | RefusedPicture],
    series: Series,
) -> tuple[JudgedRule, ...]:
    examined = examine(rules, request.folder, found.files, pictures, request.jobs)
    return judge_delivery(rules, pictures, series, examined)


def _nothing_measured(folder: Path, outcomes: Sequence[Outcome]) -> str:
    refusals = [
        f"{outcome.picture.file}: {outcome.picture.message}"
        for outcome in outcomes
        if not isinstance(outcome.picture, MeasuredPhotograph)
    ]
    shown = printable_name(str(folder))
    return "\n  ".join([f"{shown}: no picture in it could be measured.", *refusals])
