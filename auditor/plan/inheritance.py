"""From a plan as written to the plan as meant: shots completed by the series, words by numbers."""

from __future__ import annotations

import dataclasses
from typing import TypeVar

from auditor.geometry import Point
from auditor.plan.models import (
    Written,
    WrittenIntent,
    WrittenPlan,
    WrittenShot,
    WrittenThing,
)
from auditor.plan.places import point_of_place
from auditor.plan.shot_plan import Intent, Plan, PlannedThing, Shot, Tolerances
from auditor.plan.tolerances import DEFAULT_TOLERANCES

Table = TypeVar("Table", bound=Written)

# Tables whose parts are taken over one by one: a shot that names the side of its negative space
# alone keeps the series' share. The others say one thing in one of two ways and go as a whole.
_TAKEN_IN_PARTS = ("subject", "negative_space")


def plan_from_written(written: WrittenPlan) -> Plan:
    """Turn a plan without faults into what it means."""
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
    """A shot's intent with the series' where the shot is silent; an empty list is not silence."""
    parts = {}
    for name in WrittenIntent.model_fields:
        own, common = getattr(shot, name), getattr(series, name)
        if name in _TAKEN_IN_PARTS and own is not None and common is not None:
            own = _filled(own, common)
        parts[name] = common if own is None else own
    return WrittenIntent.model_construct(**parts)


def _filled(own: Table, common: Table) -> Table:
    given = {name: value for name, value in own if value is not None}
    return common.model_copy(update=given)


def _intent(written: WrittenIntent) -> Intent:
    light, space = written.light, written.negative_space
    temperature = written.colour_temperature
    return Intent(
        technique=written.technique,
        subject=_thing(written.subject, None, written.technique) if written.subject else None,
        supporting=_supporting(written),
        camera_elevation_deg=written.camera_elevation,
        light_clock=light.planned_clock if light else None,
        negative_space_fraction=space.fraction if space else None,
        negative_space_side=space.side if space else None,
        diagonal=written.diagonal,
        colour_temperature_kelvin=temperature.planned_kelvin if temperature else None,
        palette=written.palette or (),
        background=written.background or (),
        surface=written.surface or (),
        aspect_ratio=written.aspect_ratio,
    )


def _supporting(written: WrittenIntent) -> tuple[PlannedThing, ...]:
    """Supporting elements; one without a name is called by its place in the list."""
    return tuple(
        _thing(element, element.name or f"element {number}", written.technique)
        for number, element in enumerate(written.supporting or (), start=1)
    )


def _thing(written: WrittenThing, name: str | None, technique: str | None) -> PlannedThing:
    place = written.at if isinstance(written.at, str) else None
    at = written.at if isinstance(written.at, Point) else None
    return PlannedThing(
        name=name,
        at=point_of_place(place, technique) if place else at,
        place=place,
        size=written.size,
    )
