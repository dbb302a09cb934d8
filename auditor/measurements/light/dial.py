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
from auditor.measurements.light.cast_shadow import SWEEPS
from auditor.measurements.light.cues import Cue, CueName, ShadowCue, ShadowName

Floats = NDArray[np.float64]

N_DIRECTIONS = 240  # a step of 1.5 degrees
# How far the shading of a thing seen from the side stands out upwards under any light; of steps of
# 0.07 this made the rendered tables' light likeliest, with the square of the sine below.
OVERHEAD_SHADING = 0.2
NEAR_THE_PEAK_HOURS = 2.0  # the estimate is the mean direction of what lies so near to the mode

# Fitted to rendered tables whose light is known: 1915 of a family made for teaching, with exact
# masks spoilt by up to 3 px and a quarter without camera elevation, and 180 of that family and of
# another with the masks and elevations that were measured. Fitted to the 1915 alone, or to half of
# them, each moves by up to a quarter, and how often the others are told right does not.
TRUST: dict[CueName | ShadowName, float] = {
    "ring": 7.6,
    "cast shadow": 4.8,
    "shadow of a piece": 3.2,
    "fall-off": 3.5,
    "shading": 5.1,
}
# Of the 1915, 0.87 are told right where without it 0.89 would be said to be.
TEMPER = 0.9

DIRECTIONS: Floats = (np.arange(N_DIRECTIONS) + 0.5) * 2 * np.pi / N_DIRECTIONS
CLOCKS: Floats = DIRECTIONS * 6 / np.pi
ON_TABLE: Floats = np.stack([np.sin(DIRECTIONS), np.cos(DIRECTIONS)])


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
        Sum over the cues of half the span of log-likelihood that each gives the dial: how much
        was said, for whichever direction.
    """

    clock: float
    probability: Floats
    evidence: float

    def within(self, hours: float) -> float:
        """Probability that the light lies within `hours` of `clock`."""
        return float(self.probability[_apart(self.clock) <= hours].sum())


def read_dial(cues: Sequence[Cue | ShadowCue], elevation_deg: float, trust: float = 1.0) -> Dial:
    """Join the cues; `trust` below 1 tells that the camera elevation was guessed."""
    likelihood = np.zeros(N_DIRECTIONS)
    evidence = 0.0
    for cue in cues:
        said = TEMPER * TRUST[cue.name] * cue.weight * _said(cue, elevation_deg)
        likelihood += trust * said
        evidence += float(np.ptp(said)) / 2
    probability = np.exp(likelihood - likelihood.max())
    probability /= probability.sum()
    peak = float(CLOCKS[int(np.argmax(probability))])
    near = np.where(_apart(peak) <= NEAR_THE_PEAK_HOURS, probability, 0)
    clock = clock_from_direction(float(near @ ON_TABLE[0]), float(near @ ON_TABLE[1]))
    return Dial(clock, probability, evidence)


def _said(cue: Cue | ShadowCue, elevation_deg: float) -> Floats:
    """What a cue says of each position, before it is weighed."""
    if isinstance(cue, ShadowCue):
        return np.asarray(np.interp(DIRECTIONS, SWEEPS, cue.profile, period=2 * np.pi))
    other = _above_the_sky(cue, elevation_deg) if cue.name == "shading" else cue.other
    return np.asarray(cue.right * ON_TABLE[0] + other * ON_TABLE[1])


def _above_the_sky(cue: Cue, elevation_deg: float) -> float:
    """What the rise of brightness up a thing says of the light behind it.

    Seen from the side a thing is bright above under any light, since light comes from above; that
    much is expected and deducted, and the lower the camera, the less is left to be told.
    """
    elevation = math.radians(elevation_deg)
    return math.sin(elevation) ** 2 * (cue.other - OVERHEAD_SHADING * math.cos(elevation))


def _apart(clock: float) -> Floats:
    return np.array([abs(clock_difference_hours(float(c), clock)) for c in CLOCKS])
