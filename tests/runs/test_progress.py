"""The progress of a long task, on a terminal and elsewhere."""

import io
import re

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


def screen(width, name, n_done=123, total=1000):
    """The last line that a terminal of some width shows."""
    output = io.StringIO()
    console = Console(file=output, force_terminal=True, width=width, color_system=None)
    with showing_progress(console) as progress:
        progress(n_done - 1, total, "first.jpg")
        progress(n_done, total, name)
    lines = re.split(r"[\r\n]+", re.sub(r"\x1b\[[0-9;?]*[A-Za-z]", "", output.getvalue()))
    return [line for line in lines if f"{n_done}/{total}" in line][-1]


def test_a_long_name_leaves_room_for_all_else_in_80_columns():
    long, short = screen(80, "kettle-and-clementines-" * 8 + ".jpg"), screen(80, "k.jpg")
    assert len(long) <= 80
    assert "…" in long
    assert "Measuring" in long
    assert "123/1000" in long
    before = long.index("kettle")
    assert "━" in long
    assert re.search(r"[0-9.]+/(s|min)", long[:before])
    assert re.search(r"[0-9]+:[0-9]{2}", long[:before])
    assert short.rstrip().endswith("k.jpg")


def test_it_says_what_is_done_where_there_is_nothing_to_count():
    output = io.StringIO()
    console = Console(file=output, force_terminal=True, width=80, color_system=None)
    with showing_progress(console) as progress:
        progress.now("Comparing the pictures")
    assert "Comparing the pictures" in output.getvalue()


def test_a_log_says_what_is_done_in_lines(capsys):
    with showing_progress() as progress:
        progress.now("Starting")
        progress(0, 100, "")
        progress.now("Writing the report")
    assert capsys.readouterr().err == "Writing the report\n"


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
