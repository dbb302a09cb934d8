"""The commands of `auditor plan`.

A command imports what it needs when it runs, so that the others need not wait for it.
"""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from auditor.console import reporting_errors, say

plan_app = typer.Typer(help="Work with a shot plan.", no_args_is_help=True)


@plan_app.command("check")
def _check(
    plan: Annotated[Path, typer.Argument(metavar="PLAN", help="The plan, in TOML.")],
) -> None:
    """Read a plan and report all its faults at once."""
    with reporting_errors():
        from auditor.plan.reading import read_plan
        from auditor.plan.summary import describe_plan

        say(describe_plan(read_plan(plan)))
