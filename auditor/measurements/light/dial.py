"""Probability of each clock position of the light, given the cues.

Each cue adds to the log-likelihood of every direction the product of its vector with the vector
that light from there would give (a von Mises distribution whose concentration is the length of the
cue times the weight of its kind). The weights were fitted by maximum likelihood to rendered tables
whose light is known, with exact and with perturbed masks.
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
# Upward shading of a thing seen from the side under any light. Chosen in steps of 0.07, together
# with the squared sine below, as the value of highest likelihood on the rendered tables.
OVERHEAD_SHADING = 0.2
NEAR_THE_PEAK_HOURS = 2.0  # the estimate is the mean direction within this distance of the mode

# Fitted to rendered tables whose light is known: 1915 of the family `teaching`, with exact masks
# perturbed by up to 3 px and a quarter without camera elevation, and 180 of that family and of
# another with measured masks and elevations. Fitted to the 1915 alone, or to half of them, each
# weight changes by up to a quarter and the accuracy on the other tables does not change.
CUE_WEIGHTS: dict[CueName | ShadowName, float] = {
    "ring": 7.6,
    "cast shadow": 4.8,
    "shadow of a piece": 3.2,
    "fall-off": 3.5,
    "shading": 5.1,
}
# Scales all log-likelihoods: without it the confidence on the 1915 is 0.89, but 0.87 are right.
TEMPER = 0.9

DIRECTIONS: Floats = (np.arange(N_DIRECTIONS) + 0.5) * 2 * np.pi / N_DIRECTIONS
CLOCKS: Floats = DIRECTIONS * 6 / np.pi
ON_TABLE: Floats = np.stack([np.sin(DIRECTIONS), np.cos(DIRECTIONS)])


@dataclass(frozen=True, slots=True)
class Dial:
    """The combined result of all cues.

    Attributes
    ----------
    clock : float
        The likeliest position, in (0, 12].
    probability : (N_DIRECTIONS,) float array
        Of each position in `CLOCKS`.
    evidence : float
        Sum over the cues of half the range of log-likelihood that each spans over the dial: the
        amount of evidence, whatever its direction.
    """

    clock: float
    probability: Floats
    evidence: float

    def within(self, hours: float) -> float:
        """Probability that the light lies within `hours` of `clock`."""
        return float(self.probability[_apart(self.clock) <= hours].sum())


def combine_cues(cues: Sequence[Cue | ShadowCue], elevation_deg: float, trust: float = 1.0) -> Dial:
    """Combine the cues into a probability of each clock position.

    Parameters
    ----------
    cues : sequence of Cue or ShadowCue
    elevation_deg : float
        Of the camera.
    trust : float
        Factor of all log-likelihoods; below 1 if the camera elevation was assumed.
    """
    likelihood = np.zeros(N_DIRECTIONS)
    evidence = 0.0
    for cue in cues:
        own = TEMPER * CUE_WEIGHTS[cue.name] * cue.weight * _profile(cue, elevation_deg)
        likelihood += trust * own
        evidence += float(np.ptp(own)) / 2
    probability = np.exp(likelihood - likelihood.max())
    probability /= probability.sum()
    peak = float(CLOCKS[int(np.argmax(probability))])
    near = np.where(_apart(peak) <= NEAR_THE_PEAK_HOURS, probability, 0)
    clock = clock_from_direction(float(near @ ON_TABLE[0]), float(near @ ON_TABLE[1]))
    return Dial(clock, probability, evidence)


def _profile(cue: Cue | ShadowCue, elevation_deg: float) -> Floats:
    """Unweighted log-likelihood of each position, from one cue."""
    if isinstance(cue, ShadowCue):
        return np.asarray(np.interp(DIRECTIONS, SWEEPS, cue.profile, period=2 * np.pi))
    other = _depth_from_shading(cue, elevation_deg) if cue.name == "shading" else cue.other
    return np.asarray(cue.right * ON_TABLE[0] + other * ON_TABLE[1])


def _depth_from_shading(cue: Cue, elevation_deg: float) -> float:
    """Component away from the camera that upward shading implies.

    Seen from the side a thing is brighter at its top under any light, since light comes from
    above. That expected part is subtracted; the lower the camera, the less information is left.
    """
    elevation = math.radians(elevation_deg)
    return math.sin(elevation) ** 2 * (cue.other - OVERHEAD_SHADING * math.cos(elevation))


def _apart(clock: float) -> Floats:
    return np.array([abs(clock_difference_hours(float(c), clock)) for c in CLOCKS])
