"""Planned against measured: difference, tolerance and verdict for every planned item."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from auditor.comparison.colours import (
    compare_aspect_ratio,
    compare_background_and_surface,
    compare_colour_temperature,
    compare_palette,
    temperature_alone,
)
from auditor.comparison.empty_space import compare_negative_space
from auditor.comparison.item import ComparedItem
from auditor.comparison.mirror import mirror_image, shortcoming
from auditor.comparison.on_purpose import with_reasons
from auditor.comparison.places import compare_subject, compare_technique
from auditor.comparison.scene import (
    compare_camera_elevation,
    compare_diagonal,
    compare_light,
)
from auditor.comparison.things import compare_things
from auditor.measurements.measured_photograph import MeasuredPhotograph
from auditor.plan.shot_plan import Shot, Tolerances
from auditor.quantity import Quantity

_PLACES_AND_SCENE = (
    compare_subject,
    compare_things,
    compare_technique,
    compare_camera_elevation,
    compare_light,
    compare_diagonal,
    compare_negative_space,
)
# What changes with the mirror image of the composition.
_COMPOSITION = (
    compare_subject,
    compare_things,
    compare_technique,
    compare_diagonal,
    compare_negative_space,
)
_COLOURS_AND_FORMAT = (compare_palette, compare_background_and_surface, compare_aspect_ratio)


@dataclass(frozen=True, slots=True)
class ComposedShot:
    """A shot with the one composition that a picture is compared with."""

    shot: Shot
    is_mirrored: bool


def compare(
    shot: Shot,
    measured: MeasuredPhotograph,
    tolerances: Tolerances,
    mired: Quantity[float] | None = None,
) -> tuple[ComparedItem, ...]:
    """Compare one picture with its shot.

    The items come in a fixed order: subject and elements, camera and light, colours, format. What
    the plan does not state has no item, and neither has a background planned from overhead. Where
    the mirror image of the composition will do as well, the picture is compared with the one that
    it is nearer to.

    Parameters
    ----------
    shot : Shot
    measured : MeasuredPhotograph
    tolerances : Tolerances
    mired : Quantity of float or None
        Its colour temperature from the whole set; None takes that of the picture alone.
    """
    temperature = temperature_alone(measured) if mired is None else mired
    intent = nearer_composition(shot, measured, tolerances).shot.intent
    items = (
        *(item for one in _PLACES_AND_SCENE for item in one(intent, measured, tolerances)),
        *compare_colour_temperature(intent, temperature, tolerances),
        *(item for one in _COLOURS_AND_FORMAT for item in one(intent, measured, tolerances)),
    )
    return with_reasons(items, shot.on_purpose)


def nearer_composition(
    shot: Shot, measured: MeasuredPhotograph, tolerances: Tolerances
) -> ComposedShot:
    """The shot with the composition, as planned or its mirror image, that a picture is nearer to.

    One of the two is taken as a whole; equally near, the one as planned.

    Parameters
    ----------
    shot : Shot
    measured : MeasuredPhotograph
    tolerances : Tolerances
    """
    intent = replace(shot.intent, mirrored=False)
    if not shot.intent.mirrored:
        return ComposedShot(shot, is_mirrored=False)
    mirrored = mirror_image(intent)
    as_planned, as_mirrored = (
        shortcoming([item for part in _COMPOSITION for item in part(one, measured, tolerances)])
        for one in (intent, mirrored)
    )
    is_mirrored = as_mirrored < as_planned
    return ComposedShot(replace(shot, intent=mirrored if is_mirrored else intent), is_mirrored)


def composed_shots(
    shot_of: Mapping[str, Shot], measured: Sequence[MeasuredPhotograph], tolerances: Tolerances
) -> dict[str, ComposedShot]:
    """The shot of each picture, by file, with the composition that the picture is nearer to."""
    return {
        picture.file: nearer_composition(shot_of[picture.file], picture, tolerances)
        for picture in measured
        if picture.file in shot_of
    }
