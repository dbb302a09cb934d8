"""How likely each position on the light's dial is, given what the cues say.

Each cue adds to the log-likelihood of every direction the product of its vector with the vector
that a light there would give (the von Mises law, whose concentration is the length of the cue
times the trust in its kind). The trust in each kind was fitted by maximum likelihood to rendered
tables whose light is known, with exact and with spoilt masks.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from auditor.geometry import clock_difference_hours, clock_from_direction
from auditor.measurements.light.cues import Cue, CueName

Floats = NDArray[np.float64]

N_DIRECTIONS = 240  # a step of 1.5 degrees
LIGHT_HEIGHT_DEG = 40.0  # above the table: a window beside a table; common practice
NEAR_THE_PEAK_HOURS = 2.0  # the estimate is the mean direction of what lies so near to the mode

# Fitted to 58 rendered tables, each with its exact masks and with masks grown, shrunk, shifted and
# short of some elements. The fit would trust the fall-off with 9: a rendered window's is clean, a
# real one's is mixed with vignetting, other lights and the retoucher's hand.
TRUST: dict[CueName, float] = {
    "near ring": 1.3,
    "far ring": 3.6,
    "cast shadow": 3.4,
    "fall-off": 4.0,
    "shading": 2.2,
}

DIRECTIONS: Floats = (np.arange(N_DIRECTIONS) + 0.5) * 2 * np.pi / N_DIRECTIONS
CLOCKS: Floats = DIRECTIONS * 6 / np.pi


@dataclass(frozen=True, slots=True)
class Dial:
    """The outcome of all cues.

    Attributes
    ----------
    clock : float
        The likeliest position, in (0, 12].
    probability : (N_DIRECTIONS,) float array
        Of each position in `CLOCKS`.
    evidence : float
        Sum of the concentrations of all cues: how much was said, for whichever direction.
    """

    clock: float
    probability: Floats
    evidence: float

    def within(self, hours: float) -> float:
        """Probability that the light lies within `hours` of `clock`."""
        return float(self.probability[_apart(self.clock) <= hours].sum())


def read_dial(cues: Sequence[Cue], elevation_deg: float, trust: float = 1.0) -> Dial:
    """Join the cues; `trust` below 1 tells that the camera elevation was guessed."""
    elevation = math.radians(elevation_deg)
    on_table = np.stack([np.sin(DIRECTIONS), np.cos(DIRECTIONS)])
    on_things = _seen_on_things(elevation)
    likelihood = np.zeros(N_DIRECTIONS)
    evidence = 0.0
    for cue in cues:
        concentration = trust * TRUST[cue.name] * cue.weight
        expected = on_things if cue.name == "shading" else on_table
        likelihood += concentration * (cue.right * expected[0] + cue.other * expected[1])
        evidence += concentration * math.hypot(cue.right, cue.other)
    probability = np.exp(likelihood - likelihood.max())
    probability /= probability.sum()
    peak = float(CLOCKS[int(np.argmax(probability))])
    near = np.where(_apart(peak) <= NEAR_THE_PEAK_HOURS, probability, 0)
    clock = clock_from_direction(float(near @ on_table[0]), float(near @ on_table[1]))
    return Dial(clock, probability, evidence)


def _seen_on_things(elevation: float) -> Floats:
    """Unit vectors (right, up) in the picture from dark to bright across a rounded thing."""
    height = math.radians(LIGHT_HEIGHT_DEG)
    right = math.cos(height) * np.sin(DIRECTIONS)
    up = math.sin(elevation) * math.cos(height) * np.cos(DIRECTIONS)
    up += math.cos(elevation) * math.sin(height)
    return np.stack([right, up]) / np.hypot(right, up)


def _apart(clock: float) -> Floats:
    return np.array([abs(clock_difference_hours(float(c), clock)) for c in CLOCKS])
