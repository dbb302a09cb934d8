"""The progress of a long task, on a terminal and elsewhere."""

import io

from rich.console import Console

from auditor.runs.progress import showing_progress

NAMES = ("soup:100:.jpg", "[bold red]soup[/].jpg", "two\nlines.jpg", "red\x1b[31m.jpg")


def shown(name):
    """What a terminal shows of a picture's name."""
    output = io.StringIO()
    console = Console(file=output, force_terminal=True, width=200, no_color=True)
    with showing_progress(console) as progress:
        progress(1, 3, name)
    return output.getvalue()


def test_a_name_is_shown_as_it_is():
    assert "soup:100:.jpg" in shown("soup:100:.jpg")
    assert "[bold red]soup[/].jpg" in shown("[bold red]soup[/].jpg")


def test_a_name_cannot_control_the_terminal():
    assert "two\ufffdlines.jpg" in shown("two\nlines.jpg")
    assert "red\ufffd[31m.jpg" in shown("red\x1b[31m.jpg")


def test_a_log_has_ten_lines_and_no_more(capsys):
    with showing_progress() as progress:
        for done in range(101):
            progress(done, 100, "a picture")
    captured = capsys.readouterr()
    assert captured.out == ""
    lines = captured.err.splitlines()
    assert len(lines) == 10
    assert (lines[0], lines[-1]) == (
        "Measured 10 of 100 pictures",
        "Measured 100 of 100 pictures",
    )
