"""The commands of `auditor plan`.

A command imports what it needs when it runs, so that the others need not wait for it.
"""

from __future__ import annotations

from enum import StrEnum
from pathlib import Path
from typing import Annotated

import typer

from auditor.console import (
    Fresh,
    Jobs,
    reporting_errors,
    say,
    use_one_thread,
    write_path,
    write_text,
)


class DraftSource(StrEnum):
    """What the files of a draft are."""

    SKETCH = "sketch"
    PICTURES = "pictures"


plan_app = typer.Typer(help="Work with a shot plan.", no_args_is_help=True)


@plan_app.command("check")
def _check(
    plan: Annotated[Path, typer.Argument(metavar="PLAN", help="The plan, in TOML.")],
) -> None:
    """Report all faults of a plan at once, or what was understood, one line a shot."""
    with reporting_errors():
        from auditor.plan.reading import read_plan
        from auditor.plan.summary import describe_plan

        read = read_plan(plan)  # its faults are told before the names of colours are loaded
        from auditor.plan_sheet.understood import understood

        say(describe_plan(read))
        for line in understood(read):
            say(line)
        for remark in read.remarks:
            say(f"{plan}: {remark}")


@plan_app.command("words")
def _words() -> None:
    """List every word and phrase that a plan understands, with its meaning."""
    from auditor.vocabulary.word_list import word_list

    write_text(word_list())


@plan_app.command("draft")
def _draft(
    images: Annotated[
        list[Path],
        typer.Argument(
            metavar="IMAGE",
            help="Photographed or scanned sketches, finished pictures, or folders of them.",
        ),
    ],
    out: Annotated[
        Path | None, typer.Option(help="File for the plan.", show_default="standard output")
    ] = None,
    overwrite: Annotated[
        bool, typer.Option("--overwrite", help="Replace what is there already.")
    ] = False,
    source: Annotated[
        DraftSource | None,
        typer.Option("--from", help="What the files are.", show_default="recognised"),
    ] = None,
    jobs: Jobs = None,
    fresh: Fresh = False,
) -> None:
    """Write a plan from drawn frames or from finished pictures."""
    with reporting_errors():
        use_one_thread()
        from auditor.plan_draft.drafting import DraftRequest, make_draft
        from auditor.plan_draft.writing import check_place, draft_text, save
        from auditor.runs.progress import showing_progress
        from auditor.runs.store import default_location
        from auditor.runs.workers import default_jobs

        if out is not None:
            check_place(out, overwrite=overwrite)
        request = DraftRequest(
            arguments=tuple(images),
            kind=None if source is None else source.value,
            jobs=jobs or default_jobs(),
            store=default_location(),
            fresh=fresh,
        )
        with showing_progress(doing="Reading", done="Read") as progress:
            drafted = make_draft(request, progress)
        for refusal in drafted.refusals:
            say(refusal)
        if out is None:
            write_text(draft_text(drafted.draft))
        else:
            for message in save(drafted, out, overwrite=overwrite):
                say(message)
            write_path(out)


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


@plan_app.command("match")
def _match(
    folder: Annotated[Path, typer.Argument(metavar="FOLDER", help="Folder of finished pictures.")],
    plan: Annotated[Path, typer.Argument(metavar="PLAN", help="The plan; it is changed.")],
    jobs: Jobs = None,
) -> None:
    """Write into a plan which pictures belong to which shot, by what they show."""
    with reporting_errors():
        use_one_thread()
        from auditor.plan_match.match_plan import MatchRequest, match_plan
        from auditor.plan_match.report import lines_of, summary_of
        from auditor.runs.progress import showing_progress
        from auditor.runs.store import default_location
        from auditor.runs.workers import default_jobs

        request = MatchRequest(folder, plan, jobs or default_jobs(), default_location())
        with showing_progress() as progress:
            found = match_plan(request, progress)
        for line in lines_of(found.matches, found.written, found.refused):
            say(f"- {line}")
        say(f"{plan}: {summary_of(found.written)}")
    if found.written:
        write_path(plan)
