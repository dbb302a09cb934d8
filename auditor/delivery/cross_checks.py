"""Faults of rules that show only when several of them are compared."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from pydantic import ValidationError

from auditor.delivery.models import GROUPS, RULE_NAMES, WrittenChannel
from auditor.delivery.rules import LONG_SIDE, SHORT_SIDE, Asked
from auditor.plan.cross_checks import WrittenFault
from auditor.plan.set_rules import set_faults
from auditor.plan.toml_lines import KeyPath, key_as_written
from auditor.plan.written_values import shown

NUMBERING = ("number_gaps", "number_doubles", "first_number")
_Table = Mapping[str, Any]


def cross_faults(data: dict[str, Any]) -> Iterator[WrittenFault]:
    """Find rules that cannot be kept together, repeated channels, and a file without rules."""
    channels = data.get("channel", [])
    tables = [table for table in channels if isinstance(table, dict)] if channels else []
    head = {
        key: value
        for group in GROUPS
        if isinstance(table := data.get(group), dict)
        for key, value in table.items()
    }
    if (
        not head
        and not tables
        and set(data) <= {"title", *(name for name in GROUPS if data.get(name) == {})}
    ):
        yield (), "there is no rule in this file; see auditor delivery example client"
    yield from _faults_together(head, head, data, ())
    yield from set_faults({"set": data.get("set")})
    if not isinstance(channels, list):
        return
    yield from _repeated_names(channels)
    for index, table in enumerate(channels):
        if not isinstance(table, dict):
            continue
        path: KeyPath = ("channel", index)
        yield from _faults_together(table, {**head, **table}, data, path)
        for (_, key), message in set_faults({"set": table}):
            yield (*path, key), message


def _faults_together(
    own: _Table, merged: _Table, data: _Table, path: KeyPath
) -> Iterator[WrittenFault]:
    names = _read("names", merged.get("names"))
    for key in (name for name in NUMBERING if name in own):
        is_numbered = names is None or names.pattern is None or names.pattern.has_number
        if "names" in merged and is_numbered:
            continue
        yield (
            _place(key, data, path),
            'the number of a name must be known for this: names = "teahouse-{number:3}"',
        )
    long_side, short_side = (_read(name, merged.get(name)) for name in (LONG_SIDE, SHORT_SIDE))
    if long_side is None or short_side is None or not {LONG_SIDE, SHORT_SIDE} & set(own):
        return
    if long_side.accepted is not None and short_side.accepted is not None:
        least, most = short_side.accepted.spans[0][0], long_side.accepted.spans[0][1]
        if least > most:
            key = SHORT_SIDE if SHORT_SIDE in own else LONG_SIDE
            yield (
                _place(key, data, path),
                f"short side {short_side.words}, long side {long_side.words}: no picture has both",
            )


def _read(key: str, value: object) -> Asked | None:
    """One rule by itself, whatever else is wrong; None where it cannot be read."""
    if value is None or key not in RULE_NAMES:
        return None
    try:
        read = WrittenChannel.model_validate({"name": "x", "files": "x", key: value})
    except ValidationError:
        return None
    found = getattr(read, key)
    return found if isinstance(found, Asked) else None


def _place(key: str, data: _Table, path: KeyPath) -> KeyPath:
    if path:
        return (*path, key)
    group = next(name for name in GROUPS if key in (data.get(name) or {}))
    return (group, key)


def _repeated_names(channels: list[object]) -> Iterator[WrittenFault]:
    first_at: dict[str, KeyPath] = {}
    for index, table in enumerate(channels):
        name = table.get("name") if isinstance(table, dict) else None
        if not isinstance(name, str):
            continue
        path: KeyPath = ("channel", index, "name")
        earlier = first_at.setdefault(name.strip(), path)
        if earlier != path:
            yield path, f"{shown(name)} is there twice: this name is at {key_as_written(earlier)}"
