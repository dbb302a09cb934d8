"""The commands of `auditor plan`.

A command imports what it needs when it runs, so that the others need not wait for it.
"""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from auditor.console import reporting_errors, say, write_path, write_text

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


@plan_app.command("sheet")
def _sheet(
    plan: Annotated[Path, typer.Argument(metavar="PLAN", help="The plan, in TOML.")],
    out: Annotated[
        Path | None,
        typer.Option(help="Folder for the sheet.", show_default="sheets/NAME-OF-PLAN"),
    ] = None,
    size: Annotated[
        str | None,
        typer.Option(
            metavar="WxH",
            help="Width and height of each frame's picture in pixels, those of the live view.",
            show_default="3000x2000, or upright",
        ),
    ] = None,
) -> None:
    """Draw each planned frame, to print and to lay over a camera's live view."""
    with reporting_errors():
        from auditor.plan_sheet.picture_size import size_from_text
        from auditor.plan_sheet.write_sheet import write_sheet

        pixels = None if size is None else size_from_text(size)
        page = write_sheet(plan, out or Path("sheets") / (plan.stem or "plan"), pixels)
    write_path(page)
