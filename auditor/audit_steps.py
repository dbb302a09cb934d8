"""The steps of an audit: read, measure, compare, gather, advise, find, write."""

from __future__ import annotations

import logging
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import UTC, datetime
from importlib.metadata import version
from pathlib import Path

from auditor import __version__
from auditor.advice.advice import Advice, advise
from auditor.comparison.compare import compare
from auditor.comparison.matching import Matches, match
from auditor.errors import NothingToMeasureError, UnusableArgumentError
from auditor.findings.audited_set import AuditedSet, PlannedPicture
from auditor.findings.gathering import gather_findings
from auditor.measurements.measured_photograph import MeasuredPhotograph
from auditor.output.previews import PICTURES_FOLDER, find_previews
from auditor.output.report_folder import (
    PAGE_FILE,
    RECORD_FILE,
    TABLE_FILE,
    replace_page,
    report_in_work,
)
from auditor.page.html import render_page
from auditor.photograph.folder import FoundPictures, find_pictures, printable_name, printable_names
from auditor.plan.reading import read_plan
from auditor.plan.shot_plan import Plan
from auditor.record.audit_record import AuditRecord
from auditor.record.csv_table import table_text
from auditor.record.filling import Heading, make_record
from auditor.record.json_file import read_record, record_text
from auditor.runs.measuring import Progress, measure_all
from auditor.runs.outcome import Outcome
from auditor.safe_text import one_line
from auditor.saliency.finder import SubjectFinder
from auditor.series.series import Series, describe_series
from auditor.wording.messages import with_messages

# What the numbers and the page depend on; the record says which versions made it.
LIBRARIES = ("numpy", "scipy", "scikit-image", "pillow", "piexif", "pydantic", "jinja2")

_logger = logging.getLogger(__name__)


@dataclass(frozen=True, slots=True)
class AuditRequest:
    """What to audit and where to write.

    Attributes
    ----------
    folder : Path
    plan : Path or None
    directory : Path or None
        The report's own folder, made where it does not exist; None writes nothing.
    jobs : int
        Number of processes.
    store : Path or None
        Where measurements are remembered; None measures everything and remembers nothing.
    created : datetime
        With its time zone; stands in the record in UTC.
    fresh : bool
        True to measure every picture and replace what is remembered of it.
    finder : SubjectFinder or None
        Finds the subjects in place of the usual finder; nothing is then remembered.
    """

    folder: Path
    plan: Path | None
    directory: Path | None
    jobs: int
    store: Path | None
    created: datetime
    fresh: bool = False
    finder: SubjectFinder | None = None


def audit(request: AuditRequest, progress: Progress) -> AuditRecord:
    """Audit a folder and write its report.

    Parameters
    ----------
    request : AuditRequest
    progress : callable
        Called with the number of pictures done, their total, and the file just finished.

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
        return _record(request, plan, found, outcomes)
    with report_in_work(request.directory) as report:
        outcomes = _measured(request, found, report.pictures, progress)
        record = _record(request, plan, found, outcomes)
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
    shown = printable_name(str(request.folder))
    if not request.folder.is_dir():
        raise UnusableArgumentError(f"{shown}: there is no such folder.")
    if request.directory is not None and _would_mix(request.folder, request.directory):
        raise UnusableArgumentError(
            f"{shown}: the report would be written among the pictures to audit. "
            "Name another folder with --out."
        )
    found = find_pictures(request.folder, leave_out=request.directory)
    if not found.files:
        closed = [
            f"{name}: could not be read" for name in printable_names(found.unreadable_folders)
        ]
        raise NothingToMeasureError(
            "\n  ".join(
                [f"{shown}: no picture in it (JPEG, PNG, TIFF, WebP, AVIF or HEIC).", *closed]
            )
        )
    return found


def _would_mix(folder: Path, directory: Path) -> bool:
    """Whether the report's files would come to lie where the audited pictures are."""
    audited = folder.resolve()
    previews = directory / PICTURES_FOLDER
    return (
        _is_same(directory, audited)
        or any(_is_same(previews, place) for place in (audited, *audited.parents))
        or _holds_pictures_to_audit(audited, directory.resolve(), previews)
    )


def _holds_pictures_to_audit(audited: Path, directory: Path, previews: Path) -> bool:
    """Whether the report's folder lies among the pictures and holds some that are not its own."""
    if not directory.is_dir() or audited not in directory.parents:
        return False
    return bool(find_pictures(directory, leave_out=previews).files)


def _is_same(first: Path, second: Path) -> bool:
    try:
        return first.samefile(second)
    except OSError:
        return False  # one of them is not there


def _record(
    request: AuditRequest, plan: Plan | None, found: FoundPictures, outcomes: Sequence[Outcome]
) -> AuditRecord:
    measured = [
        outcome.picture for outcome in outcomes if isinstance(outcome.picture, MeasuredPhotograph)
    ]
    if not measured:
        raise NothingToMeasureError(_nothing_measured(request.folder, outcomes))
    series = describe_series(measured)
    matches = None if plan is None else match(plan, [outcome.picture.file for outcome in outcomes])
    planned = _planned(plan, matches, measured, series)
    audited = AuditedSet(
        pictures=[outcome.picture for outcome in outcomes],
        planned=planned,
        advice=_advice(plan, matches, planned, measured, series),
        matches=matches,
        series=series,
        unreadable_folders=printable_names(found.unreadable_folders),
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


def _planned(
    plan: Plan | None,
    matches: Matches | None,
    measured: Sequence[MeasuredPhotograph],
    series: Series,
) -> dict[str, PlannedPicture]:
    if plan is None or matches is None:
        return {}
    mired = {known.file: known.quantity for known in series.colour_temperatures}
    return {
        picture.file: PlannedPicture(
            shot.name, compare(shot, picture, plan.tolerances, mired.get(picture.file))
        )
        for picture in measured
        if (shot := matches.shot_of.get(picture.file)) is not None
    }


def _advice(
    plan: Plan | None,
    matches: Matches | None,
    planned: dict[str, PlannedPicture],
    measured: Sequence[MeasuredPhotograph],
    series: Series,
) -> dict[str, tuple[Advice, ...]]:
    return {
        picture.file: advise(
            picture,
            None if matches is None else matches.shot_of.get(picture.file),
            planned[picture.file].items if picture.file in planned else (),
            series,
            None if plan is None else plan.tolerances,
        )
        for picture in measured
    }
