"""The commands of `auditor delivery`."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from auditor.console import reporting_errors, say, write_text

delivery_app = typer.Typer(help="Work with the rules of a hand-over.", no_args_is_help=True)


@delivery_app.command("check")
def _check(
    rules: Annotated[
        Path,
        typer.Argument(metavar="RULES", help="The rules, in TOML, or the name of an example."),
    ],
) -> None:
    """Report all faults of rules at once, or what was understood, one line a rule."""
    with reporting_errors():
        from auditor.delivery.reading import read_rules
        from auditor.wording.delivery_rules import rule_lines

        read = read_rules(rules)
        channels = [
            (channel.name, channel.files, [(one.name, one.asked.words) for one in channel.rules])
            for channel in read.channels
        ]
        own = [(one.name, one.asked.words) for one in read.rules]
        for line in rule_lines(read.title, own, channels):
            say(line)


@delivery_app.command("example")
def _example(
    name: Annotated[str, typer.Argument(metavar="NAME", help="client, portfolio or web.")],
) -> None:
    """Write an example of rules, to start from."""
    with reporting_errors():
        from auditor.delivery.examples import example_text

        write_text(example_text(name))
