"""The recipe: read, measure, compare, gather, advise, write."""

from __future__ import annotations

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
from auditor.measurements.measured_photograph import MeasuredPhotograph
from auditor.output.previews import PICTURES_FOLDER
from auditor.output.report_folder import report_in_work
from auditor.photograph.folder import FoundPictures, find_pictures, printable_name, printable_names
from auditor.plan.reading import read_plan
from auditor.plan.shot_plan import Plan
from auditor.record.audit_record import AuditRecord
from auditor.record.filling import Findings, PlannedPicture, make_record
from auditor.runs.measuring import Outcome, Progress, measure_all
from auditor.series.series import Series, describe_series

# What the numbers and the page depend on; the record says which versions made it.
LIBRARIES = ("numpy", "scipy", "scikit-image", "pillow", "piexif", "pydantic", "jinja2")


@dataclass(frozen=True, slots=True)
class AuditRequest:
    """What to audit and where to write.

    Attributes
    ----------
    folder : Path
    plan : Path or None
    directory : Path
        The report's own folder; made where it does not exist.
    jobs : int
        Number of processes.
    store : Path or None
        Where measurements are remembered; None measures everything anew and remembers nothing.
    created : datetime
        With its time zone; stands in the record in UTC.
    """

    folder: Path
    plan: Path | None
    directory: Path
    jobs: int
    store: Path | None
    created: datetime


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
    with report_in_work(request.directory) as report:
        outcomes = measure_all(
            request.folder,
            found.files,
            report.pictures,
            jobs=request.jobs,
            store=request.store,
            progress=progress,
        )
        record = make_record(_findings(request, plan, found, outcomes))
        report.publish(
            record,
            {
                outcome.picture.file: outcome.preview
                for outcome in outcomes
                if outcome.preview is not None
            },
        )
    return record


def _pictures(request: AuditRequest) -> FoundPictures:
    shown = printable_name(str(request.folder))
    if not request.folder.is_dir():
        raise UnusableArgumentError(f"{shown}: there is no such folder.")
    if _would_mix(request):
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


def _would_mix(request: AuditRequest) -> bool:
    """Whether the report's files would come to lie where the audited pictures are."""
    audited = request.folder.resolve()
    previews = request.directory / PICTURES_FOLDER
    return (
        _is_same(request.directory, audited)
        or any(_is_same(previews, place) for place in (audited, *audited.parents))
        or _holds_pictures_to_audit(request, previews)
    )


def _holds_pictures_to_audit(request: AuditRequest, previews: Path) -> bool:
    """Whether the report's folder lies among the pictures and holds some that are not its own."""
    directory = request.directory.resolve()
    if not directory.is_dir() or request.folder.resolve() not in directory.parents:
        return False
    return bool(find_pictures(directory, leave_out=previews).files)


def _is_same(first: Path, second: Path) -> bool:
    try:
        return first.samefile(second)
    except OSError:
        return False  # one of them is not there


def _findings(
    request: AuditRequest, plan: Plan | None, found: FoundPictures, outcomes: Sequence[Outcome]
) -> Findings:
    measured = [
        outcome.picture for outcome in outcomes if isinstance(outcome.picture, MeasuredPhotograph)
    ]
    if not measured:
        raise NothingToMeasureError(_nothing_measured(request.folder, outcomes))
    series = describe_series(measured)
    matches = None if plan is None else match(plan, [outcome.picture.file for outcome in outcomes])
    planned = _planned(plan, matches, measured, series)
    return Findings(
        auditor_version=__version__,
        created=request.created.astimezone(UTC).isoformat(timespec="seconds"),
        libraries={name: version(name) for name in LIBRARIES},
        folder=printable_name(request.folder.as_posix()),
        plan=None if request.plan is None else printable_name(request.plan.as_posix()),
        title=None if plan is None else plan.title,
        pictures=[outcome.picture for outcome in outcomes],
        planned=planned,
        advice=_advice(plan, matches, planned, measured, series),
        matches=matches,
        series=series,
        unreadable_folders=printable_names(found.unreadable_folders),
    )


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
