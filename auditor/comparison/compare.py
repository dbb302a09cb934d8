"""Planned against measured: difference, tolerance and verdict for every planned item."""

from __future__ import annotations

from auditor.comparison.colours import (
    compare_aspect_ratio,
    compare_colour_temperature,
    compare_grounds,
    compare_palette,
    temperature_alone,
)
from auditor.comparison.item import ComparedItem, PlainValue, Verdict
from auditor.comparison.places import compare_subject, compare_supporting, compare_technique
from auditor.comparison.scene import (
    compare_camera_elevation,
    compare_diagonal,
    compare_light,
    compare_negative_space,
)
from auditor.measurements.measured_photograph import MeasuredPhotograph
from auditor.plan.shot_plan import Shot, Tolerances
from auditor.quantity import Quantity

__all__ = ["ComparedItem", "PlainValue", "Verdict", "compare"]

_PLACES_AND_SCENE = (
    compare_subject,
    compare_supporting,
    compare_technique,
    compare_camera_elevation,
    compare_light,
    compare_diagonal,
    compare_negative_space,
)
_COLOURS_AND_FORMAT = (compare_palette, compare_grounds, compare_aspect_ratio)


def compare(
    shot: Shot,
    measured: MeasuredPhotograph,
    tolerances: Tolerances,
    mired: Quantity[float] | None = None,
) -> tuple[ComparedItem, ...]:
    """Set one picture beside its shot, in the order of `ComparedItem.quantity`.

    What the plan leaves open gives no item. A background is not asked for where the shot is
    planned from overhead.

    Parameters
    ----------
    shot : Shot
    measured : MeasuredPhotograph
    tolerances : Tolerances
    mired : Quantity of float or None
        Its colour temperature, where that is known better than the picture alone tells it.
    """
    found = temperature_alone(measured) if mired is None else mired
    intent = shot.intent
    return (
        *(item for one in _PLACES_AND_SCENE for item in one(intent, measured, tolerances)),
        *compare_colour_temperature(intent, found, tolerances),
        *(item for one in _COLOURS_AND_FORMAT for item in one(intent, measured, tolerances)),
    )
