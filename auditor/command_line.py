"""The command line: arguments, messages, exit status; nothing else prints or exits.

A command imports what it needs when it runs, so that help, the version and the check of a plan
need not wait for the libraries that measure.
"""

from __future__ import annotations

import os
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import UTC, datetime
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from auditor import __version__
from auditor.errors import AuditorError, NothingToMeasureError
from auditor.safe_text import one_line

if TYPE_CHECKING:
    from auditor.record.audit_record import AuditRecord

MISSED, WRONG_INPUT, NOTHING_MEASURED = 1, 2, 3
MOST_LINES = 20  # of what needs attention; the page has them all

_app = typer.Typer(
    name="auditor",
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
    """Check the finished pictures of a food shoot."""


@_app.command("audit")
def _audit(
    folder: Annotated[Path, typer.Argument(metavar="FOLDER", help="Folder of finished pictures.")],
    plan: Annotated[Path | None, typer.Option(help="What was planned, in TOML.")] = None,
    out: Annotated[
        Path | None,
        typer.Option(help="Folder for the report.", show_default="reports/NAME-OF-FOLDER"),
    ] = None,
    jobs: Annotated[
        int | None,
        typer.Option(min=1, help="Pictures measured at once.", show_default="one per core"),
    ] = None,
    fresh: Annotated[
        bool, typer.Option("--fresh", help="Measure every picture, remembered or not.")
    ] = False,
    strict: Annotated[
        bool,
        typer.Option("--strict", help="Exit with 1 if anything misses its plan or leaves the set."),
    ] = False,
    log: Annotated[
        Path | None,
        typer.Option(help="File for a log of the run: what was done, what failed and why."),
    ] = None,
) -> None:
    """Measure every picture in a folder, compare, and write a report."""
    from auditor.runs.log_file import logging_to

    directory = out or Path("reports") / (folder.resolve().name or "pictures")
    with _reporting_errors(), logging_to(log, _say):
        _use_one_thread()
        from auditor.audit_steps import AuditRequest, audit
        from auditor.findings.codes import is_breaking
        from auditor.runs.executor import default_jobs
        from auditor.runs.progress import showing_progress
        from auditor.runs.store import default_location

        request = AuditRequest(
            folder=folder,
            plan=plan,
            directory=directory,
            jobs=jobs or default_jobs(),
            store=default_location(),
            created=_now(),
            fresh=fresh,
        )
        with showing_progress() as progress:
            record = audit(request, progress)
    _summarise(record, directory)
    if strict and any(is_breaking(finding.code) for finding in record.findings):
        raise typer.Exit(MISSED)


@_app.command("report")
def _report(
    directory: Annotated[Path, typer.Argument(metavar="DIR", help="Folder of an earlier report.")],
) -> None:
    """Draw the page of an earlier audit again, from its audit.json and its small pictures."""
    with _reporting_errors():
        from auditor.audit_steps import redraw

        page = redraw(directory)
    _write_path(page)


@_plan_app.command("check")
def _check(
    plan: Annotated[Path, typer.Argument(metavar="PLAN", help="The plan, in TOML.")],
) -> None:
    """Read a plan and report all its faults at once."""
    with _reporting_errors():
        from auditor.plan.reading import read_plan
        from auditor.plan.summary import describe_plan

        _say(describe_plan(read_plan(plan)))


@_app.command("schema")
def _schema() -> None:
    """Write the JSON Schema of audit.json."""
    from auditor.record.json_file import record_schema

    sys.stdout.write(record_schema() + "\n")


def _use_one_thread() -> None:
    """Compare the set with one thread, unless the user asks for more; before numpy is loaded.

    The workers keep the cores busy, and sums in one order make two runs give the same bytes.
    """
    from auditor.runs.single_thread import SINGLE_THREADED

    for name, number in SINGLE_THREADED.items():
        os.environ.setdefault(name, number)


def run() -> None:
    """Run the command and exit with its status."""
    _app()


def _say(text: str) -> None:
    """Write a message as it is, whatever markup or codes for the terminal a name in it holds."""
    sys.stderr.write("\n".join(one_line(line) for line in text.split("\n")) + "\n")


def _write_path(path: Path) -> None:
    """Write a path for another program to read."""
    from auditor.photograph.folder import printable_name

    sys.stdout.write(printable_name(str(path)) + "\n")


@contextmanager
def _reporting_errors() -> Iterator[None]:
    """Turn errors that the user can mend into messages and an exit status."""
    try:
        yield
    except NothingToMeasureError as error:
        _say(str(error))
        raise typer.Exit(NOTHING_MEASURED) from None
    except AuditorError as error:
        _say(str(error))
        raise typer.Exit(WRONG_INPUT) from None


def _summarise(record: AuditRecord, directory: Path) -> None:
    from auditor.output.report_folder import PAGE_FILE
    from auditor.vocabulary.counts import count
    from auditor.wording.findings import attention_lines

    lines = attention_lines(record)
    for line in lines[:MOST_LINES]:
        _say(f"- {line}")
    if len(lines) > MOST_LINES:
        _say(f"- and {len(lines) - MOST_LINES} more, in the report")
    refused = sum(image.status == "refused" for image in record.images)
    counted = f"{count(len(record.images) - refused, 'picture')} measured"
    _say(counted + (f", {refused} could not be measured." if refused else "."))
    _write_path(directory / PAGE_FILE)


def _now() -> datetime:
    """The time in the record; SOURCE_DATE_EPOCH sets it, for repeatable files."""
    fixed = os.environ.get("SOURCE_DATE_EPOCH", "")
    return datetime.fromtimestamp(int(fixed), UTC) if fixed.isdigit() else datetime.now(UTC)
