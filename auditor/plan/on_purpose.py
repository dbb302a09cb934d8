"""What a shot misses on purpose: the reasons that its plan gives, and faults in them."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from auditor.plan.models import PurposeOfAll, WrittenIntent, WrittenPurposes, WrittenShot
from auditor.plan.shot_plan import Purpose
from auditor.plan.toml_lines import KeyPath, key_as_written

# The quantities that a key plans, where they are not the one of its name.
QUANTITIES_OF_KEY = {
    "subject": ("subject", "subject_size"),
    "supporting": ("supporting", "count"),
    "negative_space": ("negative_space", "negative_space_side"),
}
_KEYS = tuple(WrittenPurposes.model_fields)
_TABLES = ("subject", "light", "negative_space", "colour_temperature")
_LISTS = ("supporting", "without")


def purposes_of(shot: WrittenShot, names: dict[str, tuple[str, ...]]) -> tuple[Purpose, ...]:
    """The reasons of a shot, those of single elements first and that for everything last.

    Parameters
    ----------
    shot : WrittenShot
    names : dict of str to tuple of str
        For ``supporting`` and ``without``, the names of the elements in the order of the plan.
    """
    return (*_of_elements(shot, names), *_of_keys(shot), *_of_everything(shot))


def _of_elements(shot: WrittenIntent, names: dict[str, tuple[str, ...]]) -> Iterator[Purpose]:
    for key in _LISTS:
        for name, element in zip(names[key], getattr(shot, key) or (), strict=False):
            if element.on_purpose is not None:
                yield Purpose(element.on_purpose, QUANTITIES_OF_KEY.get(key, (key,)), name)


def _of_keys(shot: WrittenShot) -> Iterator[Purpose]:
    for key in _KEYS:
        table = getattr(shot, key)
        reason = getattr(table, "on_purpose", None) or getattr(shot.on_purpose, key, None)
        if reason is not None:
            yield Purpose(reason, QUANTITIES_OF_KEY.get(key, (key,)))


def _of_everything(shot: WrittenShot) -> Iterator[Purpose]:
    if isinstance(shot.on_purpose, PurposeOfAll):
        yield Purpose(shot.on_purpose.everything)


def purpose_faults(data: dict[str, Any]) -> Iterator[tuple[KeyPath, str]]:
    """Find reasons for what is not planned, reasons given twice, and reasons in ``[series]``."""
    series = data.get("series")
    series = series if isinstance(series, dict) else {}
    for path in _reasons_in(series, ("series",)):
        yield path, "a reason is one shot's: write it in that [[shot]]"
    shots = data.get("shot")
    for index, shot in enumerate(shots if isinstance(shots, list) else ()):
        if isinstance(shot, dict):
            yield from _faults_of_shot(shot, series, ("shot", index))


def _faults_of_shot(
    shot: dict[str, Any], series: dict[str, Any], path: KeyPath
) -> Iterator[tuple[KeyPath, str]]:
    reasons = shot.get("on_purpose")
    for key in reasons if isinstance(reasons, dict) else ():
        here = (*path, "on_purpose", key)
        # An empty list plans nothing, also where it takes back what [series] plans.
        if key in _KEYS and shot.get(key, series.get(key)) in (None, []):
            yield here, f"{key} is not planned for this shot, so it cannot be missed"
        if key in _TABLES and isinstance(shot.get(key), dict) and "on_purpose" in shot[key]:
            other = key_as_written((*path, key, "on_purpose"))
            yield here, f"the reason is there twice: the other one is at {other}"


def _reasons_in(table: dict[str, Any], path: KeyPath) -> Iterator[KeyPath]:
    for key in _TABLES:
        if isinstance(table.get(key), dict) and "on_purpose" in table[key]:
            yield (*path, key, "on_purpose")
    for key in _LISTS:
        elements = table.get(key)
        for index, element in enumerate(elements if isinstance(elements, list) else ()):
            if isinstance(element, dict) and "on_purpose" in element:
                yield (*path, key, index, "on_purpose")
