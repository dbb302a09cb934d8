"""Add ``files`` to the shots of a plan's text, with everything else in it as it was."""

from __future__ import annotations

import re
import tomllib
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path

from auditor.errors import Fault, InvalidPlanError
from auditor.plan.toml_lines import KeyPath, locate_keys
from auditor.safe_text import quoted

LONGEST_LINE = 100  # characters, from which on each picture has its own line
_INDENT = re.compile(r"[ \t]*")
_BYTE_ORDER_MARK = "\ufeff"


@dataclass(frozen=True, slots=True)
class NamedFiles:
    """The pictures of one shot, to be written into a plan.

    Attributes
    ----------
    patterns : tuple of str
    remarks : tuple of str
        Comments to write above, without their ``#``.
    """

    patterns: tuple[str, ...]
    remarks: tuple[str, ...] = ()


def read_text(path: Path) -> str:
    """The text of a plan, its line ends and its byte order mark as they are."""
    return path.read_bytes().decode("utf-8")


def with_files(text: str, files_of: Mapping[int, NamedFiles], plan: str) -> str:
    """Add the pictures of some shots to a plan.

    Parameters
    ----------
    text : str
        Of a plan without faults.
    files_of : mapping of int to NamedFiles
        By the number of the shot in the plan, from 0. None of them has ``files``.
    plan : str
        Name of the plan, for messages.

    Returns
    -------
    str

    Raises
    ------
    InvalidPlanError
        Where the shots are not written as ``[[shot]]``, so that no line can be added to them.
    """
    mark = _BYTE_ORDER_MARK if text.startswith(_BYTE_ORDER_MARK) else ""
    lines = text.removeprefix(mark).split("\n")
    places = locate_keys(text.removeprefix(mark))
    line_end = "\r\n" if lines[0].endswith("\r") else "\n"
    for number in sorted(files_of, reverse=True):
        line = _line_of_shot(lines, places, number, plan)
        indent = _indent(lines, places, number)
        before = lines[line - 1].removesuffix("\r")
        own_end = lines[line - 1][len(before) :]
        added = _written(files_of[number], indent)
        lines[line - 1] = line_end.join([before, *added]) + own_end
    return mark + "\n".join(lines)


def _line_of_shot(
    lines: Sequence[str], places: Mapping[KeyPath, int], number: int, plan: str
) -> int:
    """The line after which the pictures of a shot are written: its name's, or else its head."""
    head = places["shot", number]
    if not lines[head - 1].lstrip(" \t").startswith("[["):
        message = (
            "the shots stand in one list, shot = [ … ], into which no line can be written: begin "
            "each with a line [[shot]] and write its keys below, one a line"
        )
        raise InvalidPlanError(plan, (Fault(head, "shot", message),))
    at_name = places["shot", number, "name"]
    return at_name if _is_whole(lines[at_name - 1]) else head


def _is_whole(line: str) -> bool:
    """Whether a key and all of its value stand in one line."""
    try:
        tomllib.loads(line.removesuffix("\r"))
    except tomllib.TOMLDecodeError:
        return False
    return True


def _indent(lines: Sequence[str], places: Mapping[KeyPath, int], number: int) -> str:
    found = _INDENT.match(lines[places["shot", number, "name"] - 1])
    return "" if found is None else found.group()


def _written(files: NamedFiles, indent: str) -> list[str]:
    """The lines of ``files``, with its remarks above."""
    patterns = [quoted(pattern) for pattern in files.patterns]
    remarks = [f"{indent}# {remark}" for remark in files.remarks]
    in_one = f"{indent}files = [{', '.join(patterns)}]"
    if len(in_one) <= LONGEST_LINE or len(patterns) == 1:
        return [*remarks, in_one]
    items = [f"{indent}    {one}," for one in patterns]
    return [*remarks, f"{indent}files = [", *items, f"{indent}]"]
