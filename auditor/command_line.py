"""The command line: arguments and exit status; `plan_commands` has those of `auditor plan`.

A command imports what it needs when it runs, so that help, the version and the check of a plan
need not wait for the libraries that measure.
"""

from __future__ import annotations

import os
import sys
from collections.abc import Sequence
from contextlib import suppress
from datetime import UTC, datetime
from enum import StrEnum
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from auditor import __version__
from auditor.console import (
    Fresh,
    Jobs,
    reporting_errors,
    say,
    use_one_thread,
    write_path,
    write_text,
)
from auditor.delivery_commands import delivery_app
from auditor.errors import UnusableArgumentError
from auditor.history_commands import history_app
from auditor.paused_collector import loading_modules
from auditor.plan_commands import plan_app
from auditor.safe_text import quoted

if TYPE_CHECKING:
    from auditor.record.audit_record import AuditRecord

# The values of `auditor.series.kind.SetKind`, whose module loads the libraries that measure.
_Kind = StrEnum("_Kind", ["SET", "PORTFOLIO", "SINGLE"])
MISSED = 1  # exit status: something misses its plan or leaves the set
SHOWN_OF_EPOCH = 40  # characters of a wrong SOURCE_DATE_EPOCH
MOST_LINES = 20  # of what needs attention; the page has them all

_app = typer.Typer(
    name="auditor",
    no_args_is_help=True,
    add_completion=False,
    pretty_exceptions_enable=False,
)
_app.add_typer(plan_app, name="plan")
_app.add_typer(delivery_app, name="delivery")
_app.add_typer(history_app)  # without a name: its commands stand beside the others


def _version(wanted: bool) -> None:
    if wanted:
        sys.stdout.write(f"auditor {__version__}\n")
        raise typer.Exit


@_app.callback()
def _root(
    _show_version: Annotated[
        bool,
        typer.Option("--version", callback=_version, is_eager=True, help="Show the version."),
    ] = False,
) -> None:
    """Check the finished pictures of a food shoot."""


@_app.command("audit")
def _audit(
    paths: Annotated[
        list[Path],
        typer.Argument(
            metavar="FOLDER|PICTURE...", help="Folder of finished pictures, or pictures."
        ),
    ],
    plan: Annotated[Path | None, typer.Option(help="What was planned, in TOML.")] = None,
    delivery: Annotated[
        Path | None,
        typer.Option(
            metavar="RULES",
            help="What the hand-over asks, in TOML, or an example: client, portfolio, web.",
        ),
    ] = None,
    out: Annotated[
        Path | None,
        typer.Option(help="Folder for the report.", show_default="reports/NAME"),
    ] = None,
    jobs: Jobs = None,
    scheduler: Annotated[
        str | None,
        typer.Option(
            metavar="ADDRESS", help="Measure on a cluster instead: its dask.distributed scheduler."
        ),
    ] = None,
    fresh: Fresh = False,
    no_memory: Annotated[
        bool,
        typer.Option("--no-memory", help="Neither use nor keep anything remembered."),
    ] = False,
    strict: Annotated[
        bool,
        typer.Option(
            "--strict",
            help="Exit with 1 if anything misses its plan, leaves the set or breaks a rule.",
        ),
    ] = False,
    single_file: Annotated[
        bool,
        typer.Option("--single-file", help="Put the pictures into index.html, to send it alone."),
    ] = False,
    summary: Annotated[
        bool,
        typer.Option("--summary", help="Write a summary for a client too, of one page."),
    ] = False,
    proofs: Annotated[
        bool,
        typer.Option("--proofs", help="Write small proofs of the advised versions."),
    ] = False,
    kind: Annotated[
        _Kind | None,
        typer.Option(
            "--as",
            help="How the pictures belong together.",
            show_default="told from them",
        ),
    ] = None,
    log: Annotated[
        Path | None,
        typer.Option(help="File for a log of the run: what was done, what failed and why."),
    ] = None,
) -> None:
    """Measure pictures, compare, and write a report."""
    from auditor.photograph.chosen_pictures import folder_or_pictures
    from auditor.runs.log_file import logging_to

    with reporting_errors(), logging_to(log, say):
        use_one_thread()
        from auditor.runs.progress import Shown, StepWords, showing_progress

        folder, chosen = folder_or_pictures(paths)
        directory = out or Path("reports") / _report_name(folder, chosen)
        with showing_progress() as progress:
            progress.now("Starting")
            with loading_modules():
                from auditor.audit_request import AuditRequest
                from auditor.audit_steps import audit
                from auditor.runs.store import default_location
                from auditor.runs.workers import default_jobs
                from auditor.series.kind import SetKind

            request = AuditRequest(
                folder=folder,
                chosen=chosen,
                plan=plan,
                directory=directory,
                jobs=jobs or default_jobs(),
                scheduler=scheduler,
                store=None if no_memory else default_location(),
                created=_now(),
                fresh=fresh,
                delivery=delivery,
                single_file=single_file,
                summary=summary,
                proofs=proofs,
                kind=None if kind is None else SetKind(kind),
            )

            def step(doing: str, done: str) -> Shown:
                return progress.step(StepWords(doing, done))

            notes: list[str] = []
            record = audit(request, progress, progress.now, step, notes.append)
    _summarise(record, directory, notes)
    from auditor.findings.codes import is_breaking

    if strict and any(is_breaking(finding.code) for finding in record.findings):
        raise typer.Exit(MISSED)


@_app.command("report")
def _report(
    directory: Annotated[Path, typer.Argument(metavar="DIR", help="Folder of an earlier report.")],
) -> None:
    """Draw the page of an earlier audit again, from its audit.json and its small pictures."""
    with reporting_errors():
        from auditor.redrawing import redraw

        page = redraw(directory)
    write_path(page)


@_app.command("schema")
def _schema() -> None:
    """Write the JSON Schema of audit.json."""
    from auditor.record.json_file import record_schema

    write_text(record_schema() + "\n")


def run() -> None:
    """Run the command and exit with its status."""
    _app()


def _report_name(folder: Path, chosen: tuple[str, ...] | None) -> str:
    """Of a single picture its own name, else that of the folder."""
    if chosen is not None and len(chosen) == 1:
        return Path(chosen[0]).stem
    return folder.resolve().name or "pictures"


def _summarise(record: AuditRecord, directory: Path, notes: Sequence[str]) -> None:
    from auditor.output.report_folder import PAGE_FILE
    from auditor.vocabulary.counts import count
    from auditor.wording.attention import attention_lines

    for remark in record.plan_remarks:
        say(f"{record.plan}: {remark}")
    for line in attention_lines(record, MOST_LINES):
        say(line)
    refused = sum(image.status == "refused" for image in record.images)
    counted = f"{count(len(record.images) - refused, 'picture')} measured"
    say(counted + (f", {refused} could not be measured." if refused else "."))
    for note in notes:
        say(note)
    page = directory / PAGE_FILE
    if "single_file" in record.forms:
        with suppress(OSError):  # another program may have taken the report away
            say(f"{PAGE_FILE} holds all pictures: {page.stat().st_size / 1e6:.1f} MB.")
    write_path(page)


def _now() -> datetime:
    """The time in the record; SOURCE_DATE_EPOCH sets it, for repeatable files.

    Raises
    ------
    UnusableArgumentError
        Where that is set to something else than a time.
    """
    fixed = os.environ.get("SOURCE_DATE_EPOCH", "")
    if not fixed:
        return datetime.now(UTC)
    try:
        if not (fixed.isascii() and fixed.isdigit()):
            raise ValueError
        return datetime.fromtimestamp(int(fixed), UTC)
    except (ValueError, OverflowError, OSError):
        raise UnusableArgumentError(
            f"SOURCE_DATE_EPOCH is {quoted(fixed[:SHOWN_OF_EPOCH])}, which is no time: set it to "
            "whole seconds since 1970, up to the year 9999, or unset it."
        ) from None
