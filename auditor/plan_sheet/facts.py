"""The list beside a drawn frame: what the plan says of it."""

from __future__ import annotations

from collections.abc import Iterator

from auditor.plan.shot_plan import Intent, PlannedThing, Shot
from auditor.plan_sheet import things
from auditor.plan_sheet.compose import DEFAULT_ASPECT_RATIO
from auditor.plan_sheet.drawing import Drawing, Role
from auditor.plan_sheet.guides import drawn_technique
from auditor.vocabulary.sides import sides_of_planned
from auditor.wording import plan_sheet as words
from auditor.wording.plan_sheet import Fact
from auditor.wording.positions import zone_text


def facts_of(shot: Shot, *, with_files: bool = True) -> tuple[Fact, ...]:
    """Everything that is planned for a shot, its place in the frame first."""
    intent = shot.intent
    facts = [*_composition(intent), *_supporting(intent), *_circumstances(intent)]
    if intent.without:
        facts.append(words.without_fact([(one.name or "", _place(one)) for one in intent.without]))
    if intent.mirrored:
        facts.append(words.MIRROR_FACT)
    if shot.on_purpose:
        facts.append(words.on_purpose_fact([purpose.reason for purpose in shot.on_purpose]))
    if shot.files and with_files:
        facts.append(words.files_fact(shot.files))
    return tuple(facts)


def key_of(shot: Shot, drawing: Drawing) -> tuple[str, ...]:
    """What the pale areas and the dashed outlines of a drawing mean, where it has them."""
    notes = [words.PALE_NOTE] if drawing.zones else []
    dashed = {line.role for line in drawing.lines if line.is_dashed}
    subject = things.DEFAULT_SUBJECT_SIZE if Role.SUBJECT in dashed else None
    supporting = things.DEFAULT_SUPPORTING_SIZE if Role.SUPPORTING in dashed else None
    if subject is not None or supporting is not None:
        notes.append(words.dashed_note(subject, supporting))
    if shot.intent.mirrored:
        notes.append(words.MIRROR_NOTE)
    return tuple(notes)


def plans_nothing(shot: Shot) -> bool:
    """Whether the plan says nothing of a picture but its name."""
    return shot.intent == Intent()


def _composition(intent: Intent) -> Iterator[Fact]:
    yield words.aspect_fact(intent.aspect_ratio, DEFAULT_ASPECT_RATIO)
    if intent.techniques:
        yield words.technique_fact(intent.techniques, drawn_technique(intent))
    if intent.subject is not None:
        subject = intent.subject
        yield words.subject_fact(words.thing_text(_place(subject), subject.size))
    is_drawn = any(one.has_place for one in (intent.subject, *intent.supporting) if one)
    if intent.camera_elevation is not None or is_drawn:
        yield words.camera_fact(intent.camera_elevation, things.DEFAULT_ELEVATION_DEG)


def _supporting(intent: Intent) -> Iterator[Fact]:
    for number, one in enumerate(intent.supporting, start=1):
        text = words.thing_text(_place(one), one.size, one.count)
        yield words.supporting_fact(number, one.name or "", text)


def _circumstances(intent: Intent) -> Iterator[Fact]:
    if intent.light is not None or intent.light_from_above:
        yield words.light_fact(intent.light, above=intent.light_from_above)
    if intent.negative_space is not None or intent.negative_space_sides:
        sides = [sides_of_planned(side) for side in intent.negative_space_sides]
        yield words.empty_fact(intent.negative_space, sides)
    direction = intent.diagonal if intent.diagonal_deg is None else intent.diagonal_deg
    if direction is not None:
        yield words.diagonal_fact(direction)
    if intent.colour_temperature is not None:
        yield words.temperature_fact(intent.colour_temperature)
    for quantity in ("palette", "background", "surface"):
        colours = getattr(intent, quantity)
        if colours:
            yield words.colours_fact(quantity, colours)


def _place(thing: PlannedThing) -> str:
    if thing.zone is not None:
        return zone_text(thing.zone.words)
    return words.numbers_place(*thing.at) if thing.at is not None else words.ANYWHERE
