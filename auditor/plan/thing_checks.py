"""Faults in the numbers of planned things, and in what must not be in the picture."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from auditor.plan.toml_lines import KeyPath, key_as_written
from auditor.plan.written_things import read_element
from auditor.plan.written_values import shown
from auditor.vocabulary.how_many import leading_number
from auditor.vocabulary.plain_words import plain_words

_Named = tuple[KeyPath, str, bool]  # path, name, whether it has a place


def thing_faults(data: dict[str, Any]) -> Iterator[tuple[KeyPath, str]]:
    """Find numbers given twice, and things that are planned and ruled out at once."""
    series = data.get("series")
    series = series if isinstance(series, dict) else {}
    shots = data.get("shot")
    tables = [(series, ("series",))] + [
        (shot, ("shot", index))
        for index, shot in enumerate(shots if isinstance(shots, list) else ())
        if isinstance(shot, dict)
    ]
    for table, path in tables:
        yield from _counted_twice(table, path)
        yield from _ruled_out(table, series, path)


def _counted_twice(table: dict[str, Any], path: KeyPath) -> Iterator[tuple[KeyPath, str]]:
    elements = table.get("supporting")
    for index, element in enumerate(elements if isinstance(elements, list) else ()):
        name = element.get("name") if isinstance(element, dict) else None
        if isinstance(name, str) and "count" in element and leading_number(name):
            yield (
                (*path, "supporting", index, "count"),
                f"says it twice: the name {shown(name)} has its number",
            )


def _ruled_out(
    table: dict[str, Any], series: dict[str, Any], path: KeyPath
) -> Iterator[tuple[KeyPath, str]]:
    """Things ruled out everywhere that are planned, by the shot or by [series] for it."""
    source = table if "without" in table else series
    planned_in = table if "supporting" in table else series
    if source is series and planned_in is series and table is not series:
        return  # reported once, at [series]
    at = path if source is table else ("series",)
    unwanted = {
        _same(name): (here, name)
        for here, name, has_place in _named(source.get("without"), (*at, "without"))
        if not has_place
    }
    of = path if planned_in is table else ("series",)
    for here, name, _ in _named(planned_in.get("supporting"), (*of, "supporting")):
        if _same(name) not in unwanted:
            continue
        other, _ = unwanted[_same(name)]
        if source is table:
            yield (
                other,
                f"{shown(name)} is planned at {key_as_written(here)} and ruled out here",
            )
        else:
            yield (
                here,
                f"{shown(name)} is ruled out at {key_as_written(other)}: write without = [] here",
            )


def _named(written: object, path: KeyPath) -> Iterator[_Named]:
    """Path and name of each thing in a list, or of the one that stands alone."""
    if isinstance(written, str):
        yield _named_in_words(written, path)
    things = [written] if isinstance(written, dict) else written
    for index, one in enumerate(things if isinstance(things, list) else ()):
        if isinstance(one, str):
            yield _named_in_words(one, (*path, index))
        elif isinstance(one, dict) and isinstance(one.get("name"), str):
            yield (*path, index), one["name"], "at" in one


def _named_in_words(text: str, path: KeyPath) -> _Named:
    thing = read_element(text)
    has_place = isinstance(thing, dict) and "at" in thing
    return path, str(thing["name"]) if isinstance(thing, dict) else text, has_place


def _same(name: str) -> str:
    return plain_words(name)
