"""What numbers say about the shot: size, camera angle, light, empty space, temperature."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np

from auditor.accepted import Accepted
from auditor.comparison.colours import temperature_alone
from auditor.comparison.evidence import (
    Ratios,
    density_about,
    density_of_set,
    ratio_of,
    says_nothing,
)
from auditor.comparison.places import size_deviation
from auditor.comparison.verdicts import doubt_of, spread_of
from auditor.measurements.measured_photograph import MeasuredPhotograph
from auditor.plan.shot_plan import Intent, Tolerances

Reading = tuple[float, float, float]  # value, spread, doubt


@dataclass(frozen=True, slots=True)
class NumberRule:
    """How one number is read from plan and picture.

    Attributes
    ----------
    quantity : str
        Its name among the tolerances.
    planned : callable
    found : callable
        None where there is no reading.
    kept : float
        Probability that a picture of a shot keeps it.
    usual : tuple of ((float, float), ...)
        Density over pictures in general: values, rising, each with its weight; between them it is
        interpolated.
    period : float or None
    """

    quantity: str
    planned: Callable[[Intent], Accepted | None]
    found: Callable[[MeasuredPhotograph], Reading | None]
    kept: float
    usual: tuple[tuple[float, float], ...]
    period: float | None = None

    def general(self, values: Ratios) -> Ratios:
        """Density of values over pictures in general."""
        at, weights = np.array(self.usual).T
        area = float(np.sum(np.diff(at) * (weights[1:] + weights[:-1]) / 2))
        return np.asarray(np.interp(values, at, weights / area))

    def ratios(
        self,
        intents: Sequence[Intent],
        pictures: Sequence[MeasuredPhotograph],
        tolerances: Tolerances,
    ) -> Ratios:
        """Ratios of each shot (row) and picture (column)."""
        ratios = np.ones((len(intents), len(pictures)))
        found = {
            at: reading
            for at, picture in enumerate(pictures)
            if (reading := self.found(picture)) is not None
        }
        planned = [self.planned(intent) for intent in intents]
        if not found or says_nothing(planned):
            return ratios
        values, spreads, doubts = np.array(list(found.values())).T
        tolerance = getattr(tolerances, self.quantity)
        usual = density_of_set(values, spreads, tolerance, self.period, self.general)
        for row, accepted in zip(ratios, planned, strict=True):
            if accepted is not None:
                about = density_about(accepted, values, spreads, tolerance, self.period)
                row[list(found)] = ratio_of(self.kept * (1 - doubts), about, usual)
        return ratios


def _size(picture: MeasuredPhotograph) -> Reading | None:
    found = picture.subject
    if found.value is None:
        return None
    spread = size_deviation(found, picture.width, picture.height)
    return found.value.area_fraction, spread, doubt_of(found)


def _elevation(picture: MeasuredPhotograph) -> Reading | None:
    found = picture.camera_elevation
    return None if found.value is None else (found.value.deg, spread_of(found), doubt_of(found))


def _light(picture: MeasuredPhotograph) -> Reading | None:
    found = picture.light
    return None if found.value is None else (found.value.clock, spread_of(found), doubt_of(found))


def _space(picture: MeasuredPhotograph) -> Reading | None:
    found = picture.negative_space
    if found.value is None:
        return None
    return found.value.fraction, spread_of(found), doubt_of(found)


def _mired(picture: MeasuredPhotograph) -> Reading | None:
    found = temperature_alone(picture)
    return None if found.value is None else (found.value, spread_of(found), doubt_of(found))


def _ratio(picture: MeasuredPhotograph) -> Reading:
    return picture.width / picture.height, 0.0, 0.0


def _planned_size(intent: Intent) -> Accepted | None:
    return None if intent.subject is None else intent.subject.size


def _planned_light(intent: Intent) -> Accepted | None:
    """Where light from above will do, too, a picture without a direction of light may keep it."""
    return None if intent.light_from_above else intent.light


# How often each is kept is our choice: a photographer mostly does what was planned, and where not,
# one item must not exclude a shot. Densities over pictures in general follow 151 photographs of
# dishes by many hands (a public-domain recipe collection), flattened, because the pictures of a
# planned shoot vary more.
NUMBERS = (
    NumberRule(
        "subject_size",
        _planned_size,
        _size,
        kept=0.9,
        usual=((0, 0.5), (0.1, 1.5), (0.3, 2), (0.5, 1.2), (0.8, 0.3), (1, 0.1)),
    ),
    NumberRule(
        "camera_elevation",
        lambda intent: intent.camera_elevation,
        _elevation,
        kept=0.9,
        usual=((0, 0.5), (20, 0.7), (45, 1.3), (70, 0.8), (80, 0.9), (90, 2.0)),
    ),
    NumberRule(
        "light",
        _planned_light,
        _light,
        kept=0.9,
        usual=((0, 1), (12, 1)),
        period=12.0,
    ),
    NumberRule(
        "negative_space",
        lambda intent: intent.negative_space,
        _space,
        kept=0.85,
        usual=((0, 0.8), (0.4, 1.2), (0.6, 1.1), (0.8, 0.7), (1, 0.3)),
    ),
    NumberRule(
        "colour_temperature",
        lambda intent: intent.colour_temperature,
        _mired,
        kept=0.9,
        usual=((40, 0.02), (110, 0.1), (153, 1), (200, 0.1), (400, 0.02)),
    ),
    NumberRule(
        "aspect_ratio",
        lambda intent: intent.aspect_ratio,
        _ratio,
        kept=0.95,
        usual=((0.1, 0.02), (0.6, 1), (1.0, 1), (1.6, 0.5), (10, 0.01)),
    ),
)
