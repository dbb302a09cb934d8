"""The command line: arguments, messages, exit status; nothing else prints or exits."""

from __future__ import annotations

import os
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import UTC, datetime
from pathlib import Path
from typing import Annotated

import typer
from rich.console import Console
from rich.markup import escape

from auditor import __version__
from auditor.recipe import AuditRequest, audit
from auditor.errors import (
    InvalidPlanError,
    NothingToMeasureError,
    UnusableArgumentError,
)
from auditor.findings.gathering import attention_lines, misses_something
from auditor.output.report_folder import PAGE_FILE, record_schema
from auditor.photograph.folder import printable_name
from auditor.plan.reading import read_plan
from auditor.plan.summary import describe_plan
from auditor.record.audit_record import AuditRecord
from auditor.runs.executor import default_jobs
from auditor.runs.progress import showing_progress
from auditor.runs.store import default_location
from auditor.wording.numbers import count

MISSED, WRONG_INPUT, NOTHING_MEASURED = 1, 2, 3
MOST_LINES = 20  # of what needs attention; the page has them all

_errors = Console(stderr=True, highlight=False, soft_wrap=True)
_app = typer.Typer(
    name="auditor",
    help="An honest look at the finished pictures of a food shoot.",
    no_args_is_help=True,
    add_completion=False,
    pretty_exceptions_enable=False,
)
_plan_app = typer.Typer(help="Work with a shot plan.", no_args_is_help=True)
_app.add_typer(_plan_app, name="plan")


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
    """An honest look at the finished pictures of a food shoot."""


@_app.command("audit")
def _audit(
    folder: Annotated[Path, typer.Argument(help="Folder of finished pictures.")],
    plan: Annotated[Path | None, typer.Option(help="What was planned, in TOML.")] = None,
    out: Annotated[
        Path | None,
        typer.Option(help="Folder for the report.", show_default="reports/NAME-OF-FOLDER"),
    ] = None,
    jobs: Annotated[
        int | None,
        typer.Option(min=1, help="Pictures measured at once.", show_default="one a core"),
    ] = None,
    fresh: Annotated[bool, typer.Option("--fresh", help="Measure every picture anew.")] = False,
    strict: Annotated[
        bool, typer.Option("--strict", help="Exit with 1 where something misses its plan.")
    ] = False,
) -> None:
    """Measure every picture in a folder, compare, and write a report."""
    request = AuditRequest(
        folder=folder,
        plan=plan,
        directory=out or Path("reports") / (folder.resolve().name or "pictures"),
        jobs=jobs or default_jobs(),
        store=None if fresh else default_location(),
        created=_now(),
    )
    with _telling_faults(), showing_progress(_errors) as progress:
        record = audit(request, progress)
    _summarise(record, request.directory)
    if strict and misses_something(record):
        raise typer.Exit(MISSED)


@_plan_app.command("check")
def _check(plan: Annotated[Path, typer.Argument(help="The plan, in TOML.")]) -> None:
    """Read a plan and say every fault in it at once."""
    with _telling_faults():
        _errors.print(escape(describe_plan(read_plan(plan))))


@_app.command("schema")
def _schema() -> None:
    """Write the JSON Schema of audit.json."""
    sys.stdout.write(record_schema() + "\n")


def run() -> None:
    """Run the command and exit with its status."""
    _app()


@contextmanager
def _telling_faults() -> Iterator[None]:
    """Turn what can go wrong into a message and an exit status."""
    try:
        yield
    except InvalidPlanError as error:
        for fault in error.faults:
            place = f"{error.file}:{fault.line}" if fault.line else error.file
            key = f"{fault.key}: " if fault.key else ""
            _errors.print(escape(f"{place}: {key}{fault.message}"))
        raise typer.Exit(WRONG_INPUT) from None
    except NothingToMeasureError as error:
        _errors.print(escape(str(error)))
        raise typer.Exit(NOTHING_MEASURED) from None
    except UnusableArgumentError as error:
        _errors.print(escape(str(error)))
        raise typer.Exit(WRONG_INPUT) from None


def _summarise(record: AuditRecord, directory: Path) -> None:
    lines = attention_lines(record)
    for line in lines[:MOST_LINES]:
        _errors.print(escape(f"- {line}"))
    if len(lines) > MOST_LINES:
        _errors.print(f"- and {len(lines) - MOST_LINES} more, in the report")
    refused = sum(image.status == "refused" for image in record.images)
    counted = f"{count(len(record.images) - refused, 'picture')} measured"
    _errors.print(counted + (f", {refused} refused." if refused else "."))
    sys.stdout.write(printable_name(f"{directory / PAGE_FILE}\n"))


def _now() -> datetime:
    """The time that stands in the record; SOURCE_DATE_EPOCH sets it, for repeatable files."""
    fixed = os.environ.get("SOURCE_DATE_EPOCH", "")
    return datetime.fromtimestamp(int(fixed), UTC) if fixed.isdigit() else datetime.now(UTC)
