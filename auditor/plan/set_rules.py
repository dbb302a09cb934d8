"""The rules of ``[set]``: what they mean, and faults that show when several are compared."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from pydantic import ValidationError

from auditor.accepted import Accepted
from auditor.plan.set_models import WrittenSet
from auditor.plan.shot_plan import PlannedRule
from auditor.plan.toml_lines import KeyPath
from auditor.plan.written_values import shown
from auditor.vocabulary.camera_angle import ELEVATION_WORDS
from auditor.vocabulary.counts import count

FORMATS = ("portrait", "landscape", "square")
ANGLES = tuple(words.replace(" ", "_").replace("-", "_") for words in ELEVATION_WORDS)
# Keys of which each picture counts for one at most.
_APART = (FORMATS, ANGLES, ("hero",))


def planned_rules(written: WrittenSet) -> tuple[PlannedRule, ...]:
    """The rules of the set, in the order of their keys."""
    rules = []
    for key, value in written:
        if isinstance(value, Accepted):
            rules.append(PlannedRule(key, value, value.words))
        elif value is not None:
            rules.append(PlannedRule(key, None, value))
    return tuple(rules)


def set_faults(data: dict[str, Any]) -> Iterator[tuple[KeyPath, str]]:
    """Find rules of the set that cannot be kept together, and shots beyond its pictures."""
    counts = _counts(data.get("set"))
    pictures = counts.get("pictures")
    if pictures is None:
        return
    most = round(pictures.spans[0][1])
    shots = data.get("shot")
    if isinstance(shots, list) and len(shots) > most:
        yield (
            ("set", "pictures"),
            f"there are {len(shots)} shots, each with a picture, and {count(most, 'picture')} here",
        )
    for keys in _APART:
        given = [key for key in keys if key in counts]
        least = sum(round(counts[key].spans[0][0]) for key in given)
        if least > most:
            asked = " and ".join(f"{key} = {shown(data['set'][key])}" for key in given)
            yield (
                ("set", given[-1]),
                f"{asked} ask for {count(least, 'picture')} at least, and there are {most} at most",
            )


def _counts(table: object) -> dict[str, Accepted]:
    """The numbers in ``[set]`` that can be read, whatever else is wrong there."""
    found = {}
    for key, value in table.items() if isinstance(table, dict) else ():
        try:
            read = getattr(WrittenSet.model_validate({key: value}), key, None)
        except ValidationError:
            continue
        if isinstance(read, Accepted):
            found[key] = read
    return found
