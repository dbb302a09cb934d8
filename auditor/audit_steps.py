"""The steps of an audit: read, measure, compare, gather, advise, find, write."""

from __future__ import annotations

import logging
from collections.abc import Callable, Sequence
from contextlib import AbstractContextManager, ExitStack
from typing import TYPE_CHECKING

from auditor.audit_request import AuditRequest
from auditor.errors import ShootsUnreadableError, UnusableArgumentError
from auditor.history.shoot_store import remember_shoot
from auditor.history.shoots_file import shoots_beside
from auditor.measured_to_record import Measured, forms_of, record_of
from auditor.output.among_pictures import would_mix
from auditor.output.report_folder import (
    OPTIONAL_FILES,
    RECORD_FILE,
    TABLE_FILE,
    VERDICTS_FILE,
    ReportInWork,
    report_in_work,
    settle_report,
)
from auditor.photograph.folder import (
    FoundPictures,
    pictures_in,
    printable_names,
)
from auditor.progress_calls import Progress, Step, no_step, silent
from auditor.record.audit_record import AuditRecord
from auditor.record.json_file import record_text
from auditor.redrawing import pages_of
from auditor.runs.measuring import measure_all
from auditor.runs.outcome import Outcome
from auditor.runs.run import Run, Scheduler, starting_run
from auditor.safe_text import one_line, shown_path
from auditor.tables.measurements import measurement_table
from auditor.tables.verdicts import verdict_table
from auditor.wording.passed_over import passed_over_lines

if TYPE_CHECKING:
    from auditor.delivery.rules import Rules
    from auditor.plan.shot_plan import Plan

_logger = logging.getLogger(__name__)


def audit(
    request: AuditRequest,
    progress: Progress,
    now: Callable[[str], None] = silent,
    step: Step = no_step,
    note: Callable[[str], None] = silent,
) -> AuditRecord:
    """Audit a folder and write its report.

    Parameters
    ----------
    request : AuditRequest
    progress : callable
        Called with the number of pictures done, their total, and the file just finished.
    now : callable
        Called with what is done from then on, where there is nothing to count.
    step : callable
        Called for each further step that can be counted, with what is done and what is said of it
        afterwards; gives what is called as `progress` is.
    note : callable
        Called with each line about what was passed over in the folder, or could not be remembered.

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
    plan = _plan_of(request)
    now("Looking for pictures")
    rules = _rules_of(request)
    if request.directory is not None:
        settle_report(request.directory)
    found = _pictures(request)
    for line in passed_over_lines(found.n_other_files, printable_names(found.links_upwards)):
        note(line)
    folder, plan_file = one_line(str(request.folder)), one_line(str(request.plan))
    _logger.info("%s: %d pictures, plan: %s", folder, len(found.files), plan_file)
    with ExitStack() as stack:
        report = None
        if request.directory is not None:
            optional = [file for form, file in OPTIONAL_FILES.items() if form in forms_of(request)]
            in_work = report_in_work(request.directory, optional, proofs=request.proofs)
            report = stack.enter_context(in_work)
        run = stack.enter_context(_run_of(request, note))
        pictures = None if report is None else report.pictures
        outcomes = measure_all(request.folder, found.files, pictures, run, progress)
        now("Comparing the pictures")
        measured = Measured(request, plan, rules, found, outcomes)
        record = record_of(measured, report, run, step)
        if report is not None:
            now("Writing the report")
            _publish(report, record, outcomes)
    _remember(request, record)
    return record


def _plan_of(request: AuditRequest) -> Plan | None:
    if request.plan is None:
        return None
    from auditor.plan.reading import read_plan  # slow to load, and many audits have no plan

    return read_plan(request.plan)


def _rules_of(request: AuditRequest) -> Rules | None:
    if request.delivery is None:
        return None
    from auditor.delivery.reading import read_rules  # slow to load, and most audits have no rules

    return read_rules(request.delivery)


def _publish(report: ReportInWork, record: AuditRecord, outcomes: Sequence[Outcome]) -> None:
    previews = {
        outcome.picture.file: outcome.preview for outcome in outcomes if outcome.preview is not None
    }
    report.publish(
        {
            RECORD_FILE: record_text(record),
            TABLE_FILE: measurement_table(record),
            VERDICTS_FILE: verdict_table(record),
            **pages_of(record, previews, report.pictures),
        }
    )
    _logger.info("%s: report written", one_line(str(report.directory)))


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


def _run_of(request: AuditRequest, note: Callable[[str], None]) -> AbstractContextManager[Run]:
    address = request.scheduler
    return starting_run(
        jobs=request.jobs,
        scheduler=None if address is None else Scheduler(address, request.folder),
        store=request.store,
        fresh=request.fresh,
        finder=request.finder,
        note=note,
    )


def _pictures(request: AuditRequest) -> FoundPictures:
    is_there = request.folder.is_dir()
    if is_there and request.directory and would_mix(request.folder, request.directory):
        raise UnusableArgumentError(
            f"{shown_path(request.folder)}: the report would be written among the "
            "pictures to audit. Name another folder with --out."
        )
    if request.chosen is not None:
        return FoundPictures(request.chosen, ())
    return pictures_in(request.folder, leave_out=request.directory)
