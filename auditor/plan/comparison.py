"""Planned against measured: difference, tolerance and verdict for every planned item."""

from __future__ import annotations

from auditor.measurements.measured_photograph import MeasuredPhotograph
from auditor.plan.compared_colours import (
    compare_aspect_ratio,
    compare_colour_temperature,
    compare_grounds,
    compare_palette,
)
from auditor.plan.compared_item import ComparedItem, PlainValue, Verdict
from auditor.plan.compared_places import compare_subject, compare_supporting, compare_technique
from auditor.plan.compared_scene import (
    compare_camera_elevation,
    compare_diagonal,
    compare_light,
    compare_negative_space,
)
from auditor.plan.shot_plan import Shot, Tolerances

__all__ = ["ComparedItem", "PlainValue", "Verdict", "compare"]

_IN_ORDER = (
    compare_subject,
    compare_supporting,
    compare_technique,
    compare_camera_elevation,
    compare_light,
    compare_diagonal,
    compare_negative_space,
    compare_colour_temperature,
    compare_palette,
    compare_grounds,
    compare_aspect_ratio,
)


def compare(
    shot: Shot, measured: MeasuredPhotograph, tolerances: Tolerances
) -> tuple[ComparedItem, ...]:
    """Set one picture beside its shot, in the order of `ComparedItem.quantity`.

    What the plan leaves open gives no item. A background is not asked for where the shot is
    planned from overhead.
    """
    return tuple(
        item for one_item in _IN_ORDER for item in one_item(shot.intent, measured, tolerances)
    )
