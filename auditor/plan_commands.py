"""The commands of `auditor plan`.

A command imports what it needs when it runs, so that the others need not wait for it.
"""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from auditor.console import reporting_errors, say, use_one_thread, write_path, write_text

plan_app = typer.Typer(help="Work with a shot plan.", no_args_is_help=True)


@plan_app.command("check")
def _check(
    plan: Annotated[Path, typer.Argument(metavar="PLAN", help="The plan, in TOML.")],
) -> None:
    """Read a plan and report all its faults at once."""
    with reporting_errors():
        from auditor.plan.reading import read_plan
        from auditor.plan.summary import describe_plan

        read = read_plan(plan)
        say(describe_plan(read))
        for remark in read.remarks:
            say(f"{plan}: {remark}")


@plan_app.command("words")
def _words() -> None:
    """List every word and phrase that a plan understands, with its meaning."""
    from auditor.vocabulary.word_list import word_list

    write_text(word_list())


@plan_app.command("match")
def _match(
    folder: Annotated[Path, typer.Argument(metavar="FOLDER", help="Folder of finished pictures.")],
    plan: Annotated[Path, typer.Argument(metavar="PLAN", help="The plan; it is changed.")],
    jobs: Annotated[
        int | None,
        typer.Option(min=1, help="Pictures measured at once.", show_default="one per core"),
    ] = None,
) -> None:
    """Write into a plan which pictures belong to which shot, by what they show."""
    with reporting_errors():
        use_one_thread()
        from auditor.plan_match.match_plan import MatchRequest, match_plan
        from auditor.plan_match.report import lines_of, summary_of
        from auditor.runs.executor import default_jobs
        from auditor.runs.progress import showing_progress
        from auditor.runs.store import default_location

        request = MatchRequest(folder, plan, jobs or default_jobs(), default_location())
        with showing_progress() as progress:
            found = match_plan(request, progress)
        for line in lines_of(found.matches, found.written, found.refused):
            say(f"- {line}")
        say(f"{plan}: {summary_of(found.written)}")
    if found.written:
        write_path(plan)
