"""Measure a picture like the program, and time the steps for lines, angles and light."""

from __future__ import annotations

import time
from collections.abc import Callable
from dataclasses import dataclass
from functools import cache
from typing import Any

from auditor.measurements import measured_photograph as recipe
from auditor.measurements.measured_photograph import MeasuredPhotograph
from auditor.photograph.photograph import Photograph
from auditor.saliency import default_finder
from auditor.saliency.finder import SubjectFinder

STEPS = (
    "find_rims", "find_line_segments", "measure_camera_elevation", "measure_lines",
    "measure_technique_fit", "measure_light", "measure_roll",
)  # fmt: skip


@dataclass(frozen=True)
class FrameGeometry:
    """The measurements, and the seconds of one core that each step took."""

    measured: MeasuredPhotograph
    seconds: dict[str, float]


@cache
def finder() -> SubjectFinder:
    """The finder, loaded once."""
    return default_finder()


def geometry_of(photograph: Photograph) -> FrameGeometry:
    """Measure a picture and time each step."""
    seconds: dict[str, float] = {}
    steps = {step: getattr(recipe, step) for step in STEPS}
    try:
        for step, function in steps.items():
            setattr(recipe, step, _timed(step, function, seconds))
        return FrameGeometry(recipe.measure(photograph, finder()), seconds)
    finally:
        for step, function in steps.items():
            setattr(recipe, step, function)


def _timed(
    step: str, function: Callable[..., Any], seconds: dict[str, float]
) -> Callable[..., Any]:
    def timed(*arguments: Any, **named: Any) -> Any:
        start = time.process_time()
        result = function(*arguments, **named)
        seconds[step] = seconds.get(step, 0.0) + time.process_time() - start
        return result

    return timed
