"""What is said of files in a folder that were not looked at."""

from __future__ import annotations

from collections.abc import Sequence

from auditor.safe_text import one_line
from auditor.wording.texts import listed


def passed_over_lines(n_other_files: int, links_upwards: Sequence[str]) -> list[str]:
    """Lines for a terminal.

    Parameters
    ----------
    n_other_files : int
        Files whose names do not end like those of pictures.
    links_upwards : sequence of str
        Links to a folder above the one that was asked for.
    """
    lines = []
    if n_other_files:
        lines.append(
            "1 file was not looked at: its name does not end like that of a picture."
            if n_other_files == 1
            else f"{n_other_files} files were not looked at: their names do not end like those of "
            "pictures."
        )
    if links_upwards:
        names = listed([f"“{one_line(name)}”" for name in links_upwards])
        links = "is a link" if len(links_upwards) == 1 else "are links"
        lines.append(f"{names} {links} to a folder above this one, which was not looked at.")
    return lines
