"""Faults of a plan that show only when several of its values are compared.

These checks read the file's contents as they are, whatever else is wrong with them, so that all
faults can be reported at once.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from typing import Any

from auditor.plan.file_patterns import same_letters
from auditor.plan.on_purpose import purpose_faults
from auditor.plan.set_rules import set_faults
from auditor.plan.thing_checks import thing_faults
from auditor.plan.toml_lines import KeyPath, key_as_written
from auditor.plan.written_values import shown

WrittenFault = tuple[KeyPath, str]
WrittenText = tuple[KeyPath, str]

# Tables that give one value in one of two ways.
_EITHER_OR = {
    "light": ("from", "clock", 'light = { from = "back left" } or light = { clock = 10.5 }'),
    "colour_temperature": (
        "kelvin",
        "mired",
        "colour_temperature = { kelvin = 6000 } or colour_temperature = { mired = 167 }",
    ),
}


def cross_faults(data: dict[str, Any]) -> Iterator[WrittenFault]:
    """Find missing and repeated shots, and tables that give a value twice or not at all."""
    shots = data.get("shot", [])
    if shots == []:
        yield (
            ("shot",),
            'there is no shot: each starts with [[shot]], then name = "…" and files = ["…"]',
        )
    yield from _either_or_faults(data.get("series"), ("series",))
    if not isinstance(shots, list):
        return
    yield from _repeated(_names_in(shots, ("shot",)), "a shot of this name", str.strip)
    yield from _repeated(_patterns_in(shots), "this pattern", same_letters)
    for index, shot in enumerate(shots):
        yield from _either_or_faults(shot, ("shot", index))
        yield from _supporting_faults(shot, ("shot", index))
    yield from _supporting_faults(data.get("series"), ("series",))
    yield from purpose_faults(data)
    yield from thing_faults(data)
    yield from set_faults(data)


def _either_or_faults(table: object, path: KeyPath) -> Iterator[WrittenFault]:
    if not isinstance(table, dict):
        return
    for key, (first, second, example) in _EITHER_OR.items():
        value = table.get(key)
        if not isinstance(value, dict):
            continue
        n_given = (first in value) + (second in value)
        if n_given != 1:
            fault = "says it twice" if n_given else f"says neither {first} nor {second}"
            yield (*path, key), f"{fault}: write {example}"


def _supporting_faults(table: object, path: KeyPath) -> Iterator[WrittenFault]:
    elements = table.get("supporting") if isinstance(table, dict) else None
    if isinstance(elements, list):
        names = _names_in(elements, (*path, "supporting"))
        yield from _repeated(names, "an element of this name", str.strip)


def _names_in(tables: Sequence[object], path: KeyPath) -> Iterator[WrittenText]:
    """Yield path and text of each ``name`` in an array of tables."""
    for index, table in enumerate(tables):
        name = table.get("name") if isinstance(table, dict) else None
        if isinstance(name, str):
            yield (*path, index, "name"), name


def _patterns_in(shots: Sequence[object]) -> Iterator[WrittenText]:
    """Yield path and text of each pattern of each shot."""
    for index, shot in enumerate(shots):
        patterns = shot.get("files") if isinstance(shot, dict) else None
        for place, pattern in enumerate(patterns if isinstance(patterns, list) else []):
            if isinstance(pattern, str):
                yield ("shot", index, "files", place), pattern


def _repeated(
    texts: Iterator[WrittenText], what: str, same: Callable[[str], str]
) -> Iterator[WrittenFault]:
    """Yield a fault for each text that was already there."""
    first_at: dict[str, KeyPath] = {}
    for path, text in texts:
        earlier = first_at.setdefault(same(text), path)
        if earlier != path:
            yield path, f"{shown(text)} is there twice: {what} is at {key_as_written(earlier)}"
