"""From a plan as written to what it means: shots are completed, words become numbers."""

from __future__ import annotations

import dataclasses
from typing import TypeVar

from auditor.accepted import Accepted, AcceptedColour
from auditor.plan.models import (
    Written,
    WrittenIntent,
    WrittenPlan,
    WrittenShot,
    WrittenThing,
)
from auditor.plan.shot_plan import (
    DEFAULT_TOLERANCES,
    Intent,
    Plan,
    PlannedThing,
    Shot,
    Tolerances,
)
from auditor.vocabulary.diagonals import DiagonalWord
from auditor.vocabulary.places import zone_of_place

Table = TypeVar("Table", bound=Written)

# Tables that a shot inherits key by key: one that gives only the side of its negative space keeps
# the share from [series]. The other tables give one value in one of two ways, so a shot that has
# such a table replaces all of it.
_INHERITED_BY_KEY = ("subject", "negative_space")


def plan_from_written(written: WrittenPlan) -> Plan:
    """Make the plan from the file's contents, which have no faults."""
    return Plan(
        title=written.title,
        series=_intent(written.series),
        shots=tuple(_shot(shot, written.series) for shot in written.shot),
        tolerances=_tolerances(written),
    )


def _tolerances(written: WrittenPlan) -> Tolerances:
    changes = written.tolerance.model_dump(exclude_none=True)
    return dataclasses.replace(DEFAULT_TOLERANCES, **changes)


def _shot(shot: WrittenShot, series: WrittenIntent) -> Shot:
    return Shot(shot.name, shot.files, _intent(_completed(shot, series)))


def _completed(shot: WrittenIntent, series: WrittenIntent) -> WrittenIntent:
    """A shot's intent, completed from [series]; an empty list counts as a value."""
    parts = {}
    for name in WrittenIntent.model_fields:
        own, common = getattr(shot, name), getattr(series, name)
        if name in _INHERITED_BY_KEY and own is not None and common is not None:
            own = _filled(own, common)
        parts[name] = common if own is None else own
    return WrittenIntent.model_construct(**parts)


def _filled(own: Table, common: Table) -> Table:
    given = {name: value for name, value in own if value is not None}
    return common.model_copy(update=given)


def _intent(written: WrittenIntent) -> Intent:
    light, space = written.light, written.negative_space
    temperature = written.colour_temperature
    word, deg = _diagonal(written)
    return Intent(
        techniques=() if written.technique is None else (written.technique,),
        subject=_thing(written.subject, None, written.technique) if written.subject else None,
        supporting=_supporting(written),
        camera_elevation=_exactly(written.camera_elevation),
        light=_exactly(light.planned_clock if light else None),
        negative_space=_exactly(space.fraction if space else None),
        negative_space_sides=() if space is None or space.side is None else (space.side,),
        diagonal=word,
        diagonal_deg=deg,
        colour_temperature=_exactly(temperature.planned_mired if temperature else None),
        palette=_colours(written.palette),
        background=_colours(written.background),
        surface=_colours(written.surface),
        aspect_ratio=_exactly(written.aspect_ratio),
    )


def _exactly(value: float | None) -> Accepted | None:
    return None if value is None else Accepted.exactly(value)


def _colours(hexes: tuple[str, ...] | None) -> tuple[AcceptedColour, ...]:
    return tuple(AcceptedColour(one) for one in hexes or ())


def _diagonal(written: WrittenIntent) -> tuple[DiagonalWord | None, float | None]:
    """A planned diagonal as a word and in degrees, one of which is None."""
    if isinstance(written.diagonal, float):
        return None, written.diagonal
    return written.diagonal, None


def _supporting(written: WrittenIntent) -> tuple[PlannedThing, ...]:
    """Supporting elements; one without a name is named by its number in the list."""
    return tuple(
        _thing(element, element.name or f"element {number}", written.technique)
        for number, element in enumerate(written.supporting or (), start=1)
    )


def _thing(written: WrittenThing, name: str | None, technique: str | None) -> PlannedThing:
    if not isinstance(written.at, str):
        return PlannedThing(name=name, at=written.at, size=_exactly(written.size))
    zone = zone_of_place(written.at, technique)
    point = None if zone is None else zone.point
    return PlannedThing(name, point, _exactly(written.size), zone)
