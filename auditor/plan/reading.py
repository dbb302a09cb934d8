"""Read a plan from TOML and report all of its faults at once."""

from __future__ import annotations

import tomllib
from collections.abc import Iterable
from pathlib import Path
from typing import Any

from pydantic import ValidationError

from auditor.errors import Fault, InvalidPlanError
from auditor.plan.cross_checks import WrittenFault, cross_faults
from auditor.plan.faults import syntax_fault, written_faults
from auditor.plan.inheritance import plan_from_written
from auditor.plan.models import WrittenPlan
from auditor.plan.shot_plan import Plan
from auditor.plan.toml_lines import KeyPath, key_as_written, line_of, locate_keys
from auditor.plan.unknown_keys import meant_key, without_notes


def read_plan(path: Path) -> Plan:
    """Read a plan.

    Raises
    ------
    InvalidPlanError
        With all faults in the file, each with its key and line. In a key, shots and other list
        items are counted from 1: ``shot[2].light.clock`` is the clock of the second shot.
    """
    text = text_of(path)
    try:
        data = tomllib.loads(text)
        lines = locate_keys(text)
    except (ValueError, RecursionError) as error:
        raise InvalidPlanError(str(path), (syntax_fault(error, text),)) from error
    kept, ignored = without_notes(data)
    return plan_from_written(_checked(kept, lines, path), ignored)


def text_of(path: Path, what: str = "plan") -> str:
    """The text of a file that a person wrote; `what` names it in an error.

    Raises
    ------
    InvalidPlanError
        The file cannot be read.
    """
    try:
        return path.read_text(encoding="utf-8-sig")
    except FileNotFoundError as error:
        raise _unreadable(path, "there is no such file") from error
    except IsADirectoryError as error:
        raise _unreadable(path, f"this is a folder; name the {what} file in it") from error
    except UnicodeDecodeError as error:
        message = "this is not text in UTF-8: save it again as plain text in that encoding"
        raise _unreadable(path, message) from error
    except OSError as error:
        raise _unreadable(path, f"the file cannot be read ({error.strerror})") from error


def _unreadable(path: Path, message: str) -> InvalidPlanError:
    return InvalidPlanError(str(path), (Fault(0, "", message),))


def _checked(data: dict[str, Any], lines: dict[KeyPath, int], path: Path) -> WrittenPlan:
    """Check the file's contents; raise an error with all faults in them."""
    found: list[WrittenFault] = list(cross_faults(data))
    written = None
    try:
        written = WrittenPlan.model_validate(data)
    except ValidationError as error:
        found += written_faults(error)
    if any(len(path) == 1 and _is_misspelt_shot(path[0]) for path, _ in found):
        found = [one for one in found if one[0] != ("shot",)]
    if written is None or found:
        raise InvalidPlanError(str(path), placed(found, lines))
    return written


def _is_misspelt_shot(key: str | int) -> bool:
    return key != "shot" and meant_key("", str(key)) == "shot"


def placed(found: Iterable[WrittenFault], lines: dict[KeyPath, int]) -> tuple[Fault, ...]:
    """Faults with their lines, in file order."""
    return tuple(
        sorted(
            Fault(line_of(lines, path), key_as_written(_in_file(path, lines)), message)
            for path, message in found
        )
    )


def _in_file(path: KeyPath, lines: dict[KeyPath, int]) -> KeyPath:
    """The path without the number of an item, for a value that is no list in the file."""
    is_item = bool(path) and isinstance(path[-1], int)
    return path[:-1] if path not in lines and is_item else path
