"""Planned against measured: difference, tolerance and verdict for every planned item."""

from __future__ import annotations

from auditor.comparison.colours import (
    compare_aspect_ratio,
    compare_background_and_surface,
    compare_colour_temperature,
    compare_palette,
    temperature_alone,
)
from auditor.comparison.empty_space import compare_negative_space
from auditor.comparison.item import ComparedItem
from auditor.comparison.places import compare_subject, compare_technique
from auditor.comparison.scene import (
    compare_camera_elevation,
    compare_diagonal,
    compare_light,
)
from auditor.comparison.supporting import compare_supporting
from auditor.measurements.measured_photograph import MeasuredPhotograph
from auditor.plan.shot_plan import Shot, Tolerances
from auditor.quantity import Quantity

_PLACES_AND_SCENE = (
    compare_subject,
    compare_supporting,
    compare_technique,
    compare_camera_elevation,
    compare_light,
    compare_diagonal,
    compare_negative_space,
)
_COLOURS_AND_FORMAT = (compare_palette, compare_background_and_surface, compare_aspect_ratio)


def compare(
    shot: Shot,
    measured: MeasuredPhotograph,
    tolerances: Tolerances,
    mired: Quantity[float] | None = None,
) -> tuple[ComparedItem, ...]:
    """Compare one picture with its shot.

    The items come in a fixed order: subject and elements, camera and light, colours, format. What
    the plan does not state has no item, and neither has a background planned from overhead.

    Parameters
    ----------
    shot : Shot
    measured : MeasuredPhotograph
    tolerances : Tolerances
    mired : Quantity of float or None
        Its colour temperature from the whole set; None takes that of the picture alone.
    """
    temperature = temperature_alone(measured) if mired is None else mired
    intent = shot.intent
    return (
        *(item for one in _PLACES_AND_SCENE for item in one(intent, measured, tolerances)),
        *compare_colour_temperature(intent, temperature, tolerances),
        *(item for one in _COLOURS_AND_FORMAT for item in one(intent, measured, tolerances)),
    )
