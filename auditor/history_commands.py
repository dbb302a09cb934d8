"""The commands about earlier audits: what changed, what repeats, forgetting.

A command imports what it needs when it runs, so that the others need not wait for it.
"""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from auditor.console import reporting_errors, say, write_path, write_text

history_app = typer.Typer(no_args_is_help=True)


@history_app.command("compare")
def _compare(
    earlier: Annotated[
        Path, typer.Argument(metavar="EARLIER", help="audit.json of a report, or its folder.")
    ],
    later: Annotated[Path, typer.Argument(metavar="LATER", help="The same of a later audit.")],
) -> None:
    """Say what changed between two audits."""
    with reporting_errors():
        from auditor.history.changes import compare_audits
        from auditor.output.report_folder import RECORD_FILE
        from auditor.record.json_file import read_record, using_record
        from auditor.wording.changes import REVERSED, change_sentences

        first, second = (
            read_record(path / RECORD_FILE if path.is_dir() else path) for path in (earlier, later)
        )
        with using_record(later):
            changes = compare_audits(first, second)
            lines = change_sentences(changes)
    if changes.is_reversed:
        say(REVERSED)
    write_text("".join(f"{line}\n" for line in lines))


@history_app.command("shoots")
def _shoots(
    out: Annotated[Path, typer.Option(help="Folder for the page.")] = Path("reports/shoots"),
) -> None:
    """Write a page over all remembered shoots: what repeats from one to the next."""
    with reporting_errors():
        from auditor.numpy_parts import load_when_used

        load_when_used()  # before SciPy is loaded
        from auditor import __version__
        from auditor.history.habits import find_habits, latest
        from auditor.history.shoot_store import read_shoots
        from auditor.history.shoots_file import shoots_beside
        from auditor.output.single_page import write_single_page
        from auditor.page.shoots_page import MARK, render_shoots
        from auditor.runs.store import default_location
        from auditor.wording.shoots_page import made_by, said_of_writing

        shoots = read_shoots(shoots_beside(default_location()))
        page = write_single_page(out, render_shoots(shoots, made_by(__version__)), MARK)
        counted = latest(shoots)
        say(said_of_writing(len(counted), len(find_habits(counted))))
    write_path(page)


@history_app.command("forget")
def _forget(
    shoots: Annotated[
        bool, typer.Option("--shoots", help="Only the shoots, for what repeats among them.")
    ] = False,
    measurements: Annotated[
        bool, typer.Option("--measurements", help="Only the measurements of pictures.")
    ] = False,
) -> None:
    """Remove what is remembered of earlier audits: shoots and measurements."""
    with reporting_errors():
        from auditor.history.forgetting import forget
        from auditor.history.shoots_file import shoots_beside
        from auditor.runs.store import default_location
        from auditor.wording.forgetting import forgotten_sentence

        location = default_location()
        everything = shoots == measurements
        if shoots or everything:
            say(forgotten_sentence(forget("shoots", shoots_beside(location))))
        if measurements or everything:
            say(forgotten_sentence(forget("measurements", location)))
