"""From measured pictures to the record: compare, gather, advise, find; no arithmetic."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import UTC
from functools import partial
from importlib.metadata import version
from pathlib import Path

from auditor import __version__
from auditor.advice.advice import Advice
from auditor.advice.small_pictures import only_written, with_previews
from auditor.advice.trying import Describe
from auditor.audit_request import AuditRequest
from auditor.comparison.set_rules import judge_rules
from auditor.delivery.judged import JudgedRule
from auditor.delivery.rules import Rules, least_side_px
from auditor.errors import NothingToMeasureError
from auditor.findings.audited_set import AuditedSet
from auditor.findings.gathering import gather_findings
from auditor.measurements.measured_photograph import MeasuredPhotograph
from auditor.output.report_folder import ReportInWork
from auditor.photograph.folder import FoundPictures, printable_name, printable_names
from auditor.plan.shot_plan import Plan
from auditor.planned_set import Advised, advise_pictures, compare_pictures, match_shots
from auditor.progress_calls import Progress, Step, no_step
from auditor.record.audit_record import AuditRecord, ReportForm
from auditor.record.filling import Heading, make_record
from auditor.runs.outcome import Outcome, RefusedPicture
from auditor.runs.run import Run
from auditor.runs.trying import Trials
from auditor.safe_text import one_line, shown_path
from auditor.series.kind import SetKind, tell_kind
from auditor.series.portfolio import (
    describe_changed_no_set,
    describe_no_set,
    describe_portfolio,
)
from auditor.series.series import Series, describe_changed, describe_set
from auditor.wording.messages import with_messages

# What the numbers and the page depend on; the record says which versions made it.
LIBRARIES = ("numpy", "scipy", "scikit-image", "pillow", "piexif", "pydantic", "jinja2")


# From so many pictures on, steps after measuring can take more than 2 s and tell how far they are.
PROGRESS_FROM = 200


@dataclass(frozen=True, slots=True)
class Measured:
    """What the record is made from.

    Attributes
    ----------
    request : AuditRequest
    plan : Plan or None
    rules : Rules or None
        Of the hand-over.
    found : FoundPictures
    outcomes : sequence of Outcome
        In the order of the pictures found.
    """

    request: AuditRequest
    plan: Plan | None
    rules: Rules | None
    found: FoundPictures
    outcomes: Sequence[Outcome]


def record_of(measured: Measured, report: ReportInWork | None, run: Run, step: Step) -> AuditRecord:
    """Compare, gather, advise and find; the pictures of what was tried go into the report.

    Parameters
    ----------
    measured : Measured
    report : ReportInWork or None
        None where no report is written.
    run : Run
    step : callable
        Gives the progress of one step of the work, by what is done and what is said of it after.

    Raises
    ------
    NothingToMeasureError
        No picture could be measured.
    """
    request, plan, rules, found = measured.request, measured.plan, measured.rules, measured.found
    outcomes = measured.outcomes
    photographs = [
        outcome.picture for outcome in outcomes if isinstance(outcome.picture, MeasuredPhotograph)
    ]
    if not photographs:
        raise NothingToMeasureError(_nothing_measured(request.folder, outcomes))
    kind = tell_kind(photographs, request.kind, has_plan=plan is not None)
    shown: Step = step if len(photographs) >= PROGRESS_FROM else no_step
    series, describe = _described(photographs, kind.kind, shown("Comparing pictures", "Compared"))
    is_portfolio = kind.kind is SetKind.PORTFOLIO
    pictures = [outcome.picture for outcome in outcomes]
    matches, shots = match_shots(plan, pictures, photographs, series)
    planned = compare_pictures(plan, matches, shots, photographs, series)
    trying = step("Trying corrections", "Corrections tried on")
    trials = Trials(request.folder, found.files, outcomes, run, trying)
    advised = advise_pictures(
        plan,
        shots,
        planned,
        photographs,
        series,
        trials,
        describe,
        least_sides_px=lambda file: None if rules is None else least_side_px(rules, file),
    )
    audited = AuditedSet(
        pictures=pictures,
        planned=planned,
        advice=_with_pictures(advised, pictures, trials, report),
        matches=matches,
        series=series,
        kind=kind,
        portfolio=describe_portfolio(photographs) if is_portfolio else None,
        unreadable_folders=printable_names(found.unreadable_folders),
        rules=() if plan is None else judge_rules(plan, pictures),
        delivery=None if rules is None else _delivery(measured, rules, run, series),
    )
    heading = Heading(
        auditor_version=__version__,
        created=request.created.astimezone(UTC).isoformat(timespec="seconds"),
        libraries={name: version(name) for name in LIBRARIES},
        folder=without_folders_above(request.folder),
        plan=None if request.plan is None else without_folders_above(request.plan),
        title=None if plan is None else plan.title,
        plan_remarks=() if plan is None else plan.remarks,
        delivery_title=None if rules is None else rules.title,
        forms=forms_of(request),
    )
    gathering = shown("Gathering what was found", "Gathered what was found in")
    record = make_record(heading, audited, gather_findings(audited), gathering)
    return with_messages(record, shown("Writing sentences", "Sentences written for"))


def _described(
    photographs: Sequence[MeasuredPhotograph], kind: SetKind, comparing: Progress
) -> tuple[Series, Describe]:
    """The pictures together, and how they are described again after changes."""
    if kind is not SetKind.SET:
        series = describe_no_set(photographs, comparing)
        return series, partial(describe_changed_no_set, series)
    described = describe_set(photographs, comparing)
    return described.series, partial(describe_changed, described)


def _delivery(measured: Measured, rules: Rules, run: Run, series: Series) -> tuple[JudgedRule, ...]:
    from auditor.delivery.judge import examine, judge_delivery  # slow to load, and rarely needed

    pictures = [outcome.picture for outcome in measured.outcomes]
    examined = examine(rules, measured.request.folder, measured.found.files, pictures, run)
    return judge_delivery(rules, pictures, series, examined)


def _with_pictures(
    advised: Advised,
    pictures: Sequence[MeasuredPhotograph | RefusedPicture],
    trials: Trials,
    report: ReportInWork | None,
) -> Mapping[str, tuple[Advice, ...]]:
    """The advice, with the pictures of what was tried written into the report."""
    if report is None:
        return advised.advice
    files = [picture.file for picture in pictures]
    advice, versions = with_previews(
        advised.advice, advised.proofs, files, report.pictures, report.proofs
    )
    trials.write(versions)
    return only_written(advice, report.pictures)


def forms_of(request: AuditRequest) -> tuple[ReportForm, ...]:
    """What the report is to be besides its usual page."""
    wanted: dict[ReportForm, bool] = {
        "single_file": request.single_file,
        "summary": request.summary,
    }
    return tuple(form for form, is_wanted in wanted.items() if is_wanted)


def without_folders_above(path: Path) -> str:
    """A path as it is recorded: as given below the current folder, of any other its last part.

    The folders above can betray a home or a client to whoever gets the report.
    """
    if path.is_absolute() or ".." in path.parts:
        path = Path(path.resolve().name or path.name)
    return printable_name(path.as_posix())


def _nothing_measured(folder: Path, outcomes: Sequence[Outcome]) -> str:
    refusals = [
        one_line(f"{outcome.picture.file}: {outcome.picture.message}")
        for outcome in outcomes
        if not isinstance(outcome.picture, MeasuredPhotograph)
    ]
    shown = shown_path(folder)
    return "\n  ".join([f"{shown}: no picture in it could be measured.", *refusals])
