"""Intents from plain values, so that a test need not wrap each number and colour."""

from auditor.accepted import Accepted, AcceptedColour
from auditor.plan.shot_plan import Intent, PlannedThing

NUMBERS = {"camera_elevation", "light", "negative_space", "colour_temperature", "aspect_ratio"}
COLOURS = {"palette", "background", "surface"}


def intent_with(**fields) -> Intent:
    """An intent whose single numbers and ``#rrggbb`` colours are wrapped."""
    return Intent(**{name: _wrapped(name, value) for name, value in fields.items()})


def thing(name=None, at=None, size=None, zone=None) -> PlannedThing:
    """A planned thing whose size is a plain number."""
    return PlannedThing(name, at, None if size is None else Accepted.exactly(size), zone)


def _wrapped(name, value):
    if name in NUMBERS and isinstance(value, int | float):
        return Accepted.exactly(float(value))
    if name in COLOURS:
        return tuple(AcceptedColour(one) if isinstance(one, str) else one for one in value)
    return value
