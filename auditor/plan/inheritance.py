"""From a plan as written to what it means: shots are completed, words become numbers."""

from __future__ import annotations

import dataclasses
from collections.abc import Sequence
from typing import TypeVar

from auditor.accepted import Accepted, AcceptedColour
from auditor.geometry import Box, Point
from auditor.plan.models import (
    WrittenIntent,
    WrittenPlan,
    WrittenShot,
    WrittenThing,
)
from auditor.plan.on_purpose import purposes_of
from auditor.plan.remarks import remarks_on
from auditor.plan.set_rules import planned_rules
from auditor.plan.shot_plan import (
    DEFAULT_TOLERANCES,
    Intent,
    Plan,
    PlannedThing,
    Shot,
    Tolerances,
)
from auditor.plan.toml_lines import KeyPath
from auditor.plan.written_table import Written
from auditor.vocabulary.diagonals import DiagonalWord
from auditor.vocabulary.how_many import leading_number
from auditor.vocabulary.light import LightWords
from auditor.vocabulary.places import zone_of_place
from auditor.vocabulary.zones import Zone

Table = TypeVar("Table", bound=Written)

# Tables that a shot inherits key by key: one that gives only the side of its negative space keeps
# the share from [series]. The other tables give one value in one of two ways, so a shot that has
# such a table replaces all of it.
_INHERITED_BY_KEY = ("subject", "negative_space")


def plan_from_written(written: WrittenPlan, ignored: Sequence[KeyPath] = ()) -> Plan:
    """Make the plan from the file's contents, which have no faults.

    Parameters
    ----------
    written : WrittenPlan
    ignored : sequence of tuple
        Keys in the file that nothing reads.
    """
    return Plan(
        title=written.title,
        series=_intent(written.series),
        shots=tuple(_shot(shot, written.series) for shot in written.shot),
        tolerances=_tolerances(written),
        rules=planned_rules(written.rules),
        remarks=tuple(remarks_on(written, ignored)),
    )


def _tolerances(written: WrittenPlan) -> Tolerances:
    changes = written.tolerance.model_dump(exclude_none=True)
    return dataclasses.replace(DEFAULT_TOLERANCES, **changes)


def _shot(shot: WrittenShot, series: WrittenIntent) -> Shot:
    intent = _intent(_completed(shot, series))
    names = {
        key: tuple(thing.name or "" for thing in getattr(intent, key))
        for key in ("supporting", "without")
    }
    return Shot(shot.name, shot.files, intent, purposes_of(shot, names))


def _completed(shot: WrittenIntent, series: WrittenIntent) -> WrittenIntent:
    """A shot's intent, completed from [series]; an empty list counts as a value."""
    parts = {}
    for name in WrittenIntent.model_fields:
        own, common = getattr(shot, name), getattr(series, name)
        if name in _INHERITED_BY_KEY and own is not None and common is not None:
            own = _filled(own, common)
        if name == "light" and own is not None and not own.planned.is_somewhere:
            own = common  # "soft" says nothing of where it comes from
        parts[name] = common if own is None else own
    return WrittenIntent.model_construct(**parts)


def _filled(own: Table, common: Table) -> Table:
    given = {name: value for name, value in own if value is not None}
    return common.model_copy(update=given)


def _intent(written: WrittenIntent) -> Intent:
    space, temperature = written.negative_space, written.colour_temperature
    light = written.light.planned if written.light else LightWords()
    techniques = written.technique or ()
    word, deg = _diagonal(written)
    return Intent(
        techniques=techniques,
        subject=_thing(written.subject, None, techniques) if written.subject else None,
        supporting=_supporting(written, techniques),
        camera_elevation=written.camera_elevation,
        light=light.clock,
        light_from_above=light.is_above,
        negative_space=space.fraction if space else None,
        negative_space_sides=(space.side if space else None) or (),
        diagonal=word,
        diagonal_deg=deg,
        colour_temperature=temperature.planned if temperature else None,
        palette=_colours(written.palette),
        background=_colours(written.background),
        surface=_colours(written.surface),
        aspect_ratio=written.aspect_ratio,
        mirrored=bool(written.mirrored),
        without=tuple(_placed(one.at, None, one.name, techniques) for one in written.without or ()),
    )


def _colours(written: tuple[tuple[AcceptedColour, ...], ...] | None) -> tuple[AcceptedColour, ...]:
    return tuple(colour for item in written or () for colour in item)


def _diagonal(written: WrittenIntent) -> tuple[DiagonalWord | None, float | None]:
    """A planned diagonal as a word and in degrees, one of which is None."""
    if isinstance(written.diagonal, float):
        return None, written.diagonal
    return written.diagonal, None


def _supporting(written: WrittenIntent, techniques: tuple[str, ...]) -> tuple[PlannedThing, ...]:
    """Supporting elements; one without a name is named by its number in the list."""
    return tuple(
        _counted(_thing(element, element.name or f"element {number}", techniques), element.count)
        for number, element in enumerate(written.supporting or (), start=1)
    )


def _counted(thing: PlannedThing, count: Accepted | None) -> PlannedThing:
    """The thing with its number, which is given or stands in its name."""
    in_name = None if thing.name is None else leading_number(thing.name)
    if count is None and in_name is not None:
        count = in_name[0]
    return dataclasses.replace(thing, count=count)


def _thing(written: WrittenThing, name: str | None, techniques: tuple[str, ...]) -> PlannedThing:
    return _placed(written.at, written.size, name, techniques)


def _placed(
    at: Sequence[str | Point] | None,
    size: Accepted | None,
    name: str | None,
    techniques: tuple[str, ...],
) -> PlannedThing:
    places = at or ()
    if len(places) == 1 and isinstance(places[0], Point):
        return PlannedThing(name, places[0], size)
    # Places in words depend on the technique; of several, the first one counts.
    technique = techniques[0] if techniques else None
    zones = [one for place in places if (one := _zone(place, technique)) is not None]
    zone = Zone.any_of(zones) if zones else None
    return PlannedThing(name, zone.point if zone else None, size, zone)


def _zone(place: str | Point, technique: str | None) -> Zone | None:
    if isinstance(place, str):
        return zone_of_place(place, technique)
    words = f"{place.x:.0%} across, {place.y:.0%} down"
    return Zone(words, (Box(*place, *place),), place)
