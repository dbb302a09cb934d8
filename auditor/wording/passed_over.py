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
        Files that are no pictures by name.
    links_upwards : sequence of str
        Links to a folder above the one that was asked for.
    """
    lines = []
    if n_other_files:
        files, were = ("file", "was") if n_other_files == 1 else ("files", "were")
        lines.append(f"{n_other_files} other {files} {were} not looked at: no picture by name.")
    if links_upwards:
        names = listed([f"“{one_line(name)}”" for name in links_upwards])
        leads = "leads" if len(links_upwards) == 1 else "lead"
        lines.append(f"{names} {leads} to a folder above this one, which was not looked at.")
    return lines
