"""Read a plan from TOML and report all of its faults at once."""

from __future__ import annotations

import tomllib
from collections.abc import Iterable, Iterator
from pathlib import Path
from typing import Any

from pydantic import ValidationError

from auditor.errors import Fault, InvalidPlanError, WrittenFileError
from auditor.plan.cross_checks import WrittenFault, cross_faults
from auditor.plan.faults import syntax_fault, written_faults
from auditor.plan.inheritance import plan_from_written
from auditor.plan.models import WrittenPlan
from auditor.plan.shot_plan import Plan
from auditor.plan.toml_limits import MOST_BYTES, limit_fault, size_faults, table_faults
from auditor.plan.toml_lines import KeyPath, key_as_written, line_of, locate_keys
from auditor.plan.unknown_keys import meant_key, without_notes
from auditor.regular_file import NotAFileError, TooLargeFileError, read_regular

MOST_FAULTS = 100
"""From this number on no more shots are checked: more than a person mends at once."""

SHOTS_AT_ONCE = 20
"""Shots that are checked before the faults are counted."""

_NOT_CHECKED = "this shot and those after it are not checked yet: correct the other faults first"


def read_plan(path: Path) -> Plan:
    """Read a plan.

    Raises
    ------
    InvalidPlanError
        With all faults in the file, each with its key and line. In a key, shots and other list
        items are counted from 1: ``shot[2].light.clock`` is the clock of the second shot.
    """
    data, lines = parsed(text_of(path), str(path), InvalidPlanError)
    kept, ignored = without_notes(data)
    raise_size_faults(kept, lines, str(path), InvalidPlanError)
    return plan_from_written(_checked(kept, lines, path), ignored)


def parsed(
    text: str, file: str, kind_of_error: type[WrittenFileError]
) -> tuple[dict[str, Any], dict[KeyPath, int]]:
    """The contents of a TOML text, and the line of each of its keys.

    Raises
    ------
    WrittenFileError
        Of the given kind: this is not TOML, or beyond the limits of `toml_limits`.
    """
    fault = limit_fault(text)
    if fault is not None:
        raise kind_of_error(file, (fault,))
    try:
        data, lines = tomllib.loads(text), locate_keys(text)
    except (ValueError, RecursionError) as error:
        raise kind_of_error(file, (syntax_fault(error, text),)) from error
    too_large = list(table_faults(data))
    if too_large:
        raise kind_of_error(file, placed(too_large, lines))
    return data, lines


def raise_size_faults(
    data: dict[str, Any],
    lines: dict[KeyPath, int],
    file: str,
    kind_of_error: type[WrittenFileError],
) -> None:
    """Raise an error of a kind for all texts and lists that are too long to be meant."""
    found = list(size_faults(data))
    if found:
        raise kind_of_error(file, placed(found, lines))


def text_of(path: Path, what: str = "plan") -> str:
    """The text of a file that a person wrote; `what` names it in an error.

    Raises
    ------
    InvalidPlanError
        The file cannot be read.
    """
    try:
        # Every line end becomes "\n", as when a file is opened as text.
        read = read_regular(path, MOST_BYTES).decode("utf-8-sig")
        return read.replace("\r\n", "\n").replace("\r", "\n")
    except (NotAFileError, TooLargeFileError) as error:
        raise _unreadable(path, f"{error.strerror}; name the {what} file") from error
    except FileNotFoundError as error:
        raise _unreadable(path, "there is no such file") from error
    except UnicodeDecodeError as error:
        message = "this is not text in UTF-8: save it again as plain text in that encoding"
        raise _unreadable(path, message) from error
    except OSError as error:
        raise _unreadable(path, f"the file cannot be read ({error.strerror})") from error


def _unreadable(path: Path, message: str) -> InvalidPlanError:
    return InvalidPlanError(str(path), (Fault(0, "", message),))


def _checked(data: dict[str, Any], lines: dict[KeyPath, int], path: Path) -> WrittenPlan:
    """Check the file's contents; raise an error with the faults in them."""
    found: list[WrittenFault] = list(cross_faults(data))
    plans: list[WrittenPlan] = []
    for start, part in _in_parts(data):
        if len(found) >= MOST_FAULTS:
            found.append((("shot", start), _NOT_CHECKED))
            break
        try:
            plans.append(WrittenPlan.model_validate(part))
        except ValidationError as error:
            found += [(_moved(place, start), message) for place, message in written_faults(error)]
    if any(len(path) == 1 and _is_misspelt_shot(path[0]) for path, _ in found):
        found = [one for one in found if one[0] != ("shot",)]
    if found:
        raise InvalidPlanError(str(path), placed(found, lines))
    return plans[0].model_copy(update={"shot": tuple(shot for one in plans for shot in one.shot)})


def _in_parts(data: dict[str, Any]) -> Iterator[tuple[int, dict[str, Any]]]:
    """The contents as plans of few shots, each with the number of its first shot, from 0.

    What a wrong phrase may mean takes time to find, so a file that is all wrong is not read to its
    end.
    """
    shots = data.get("shot")
    if not isinstance(shots, list) or len(shots) <= SHOTS_AT_ONCE:
        yield 0, data
        return
    yield 0, {**data, "shot": shots[:SHOTS_AT_ONCE]}
    for start in range(SHOTS_AT_ONCE, len(shots), SHOTS_AT_ONCE):
        yield start, {"shot": shots[start : start + SHOTS_AT_ONCE]}


def _moved(path: KeyPath, start: int) -> KeyPath:
    """The path in the whole file of one in a part that begins with another shot."""
    is_in_shot = len(path) > 1 and path[0] == "shot" and isinstance(path[1], int)
    return ("shot", int(path[1]) + start, *path[2:]) if is_in_shot else path


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
