"""Probability of each clock position of the light, given the cues.

Each local cue adds to the log-likelihood of every direction the product of its vector with the
vector that light from there would give (a von Mises distribution whose concentration is the length
of the cue times the weight of its kind). The fall-off over the frame is such a distribution, too,
mixed with an even one: it may have been laid over the finished picture from any side. It can thus
settle where between local cues the light stands, but never outvote them.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from auditor.geometry import clock_from_direction
from auditor.measurements.light.cast_shadow import SWEEPS
from auditor.measurements.light.cues import Cue, CueName, ShadowCue, ShadowName
from auditor.measurements.light.fall_off import FallOff

Floats = NDArray[np.float64]

N_DIRECTIONS = 240  # a step of 1.5 degrees
# Upward shading of a thing seen from the side under any light. Chosen in steps of 0.07, together
# with the squared sine below, as the value of highest likelihood on rendered tables.
OVERHEAD_SHADING = 0.2
NEAR_THE_PEAK_HOURS = 2.0  # the estimate is the mean direction within this distance of the mode

# Fitted by maximum likelihood to 269 rendered tables of the family `teaching` with measured masks
# and elevations, each as it is (four times the weight), under gradients of 1 and 2 EV in random
# directions, under a vignette and under a radial gradient off the centre. Fitted to either half of
# them, the weights differ by about a tenth, that of pieces by two thirds.
CUE_WEIGHTS: dict[CueName | ShadowName, float] = {
    "ring": 2.3,
    "cast shadow": 3.9,
    "shadow of a piece": 1.6,
    "shading": 2.4,
}
FALL_OFF_WEIGHT = 4.5
# Share of the pictures whose fall-off is taken to be laid over them; fitted with the weights.
LAID_OVER_SHARE = 0.3

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
    local_probability : (N_DIRECTIONS,) float array
        The same from the local cues alone.
    local_evidence : float
        Sum over the local cues of half the range of log-likelihood that each spans over the dial:
        the amount of evidence, whatever its direction.
    """

    clock: float
    probability: Floats
    local_probability: Floats
    local_evidence: float

    def within(self, hours: float) -> float:
        """Probability that the light lies within `hours` of `clock`."""
        return float(self.probability[_apart(self.clock) <= hours].sum())

    def local_within(self, hours: float) -> float:
        """The same from the local cues alone: how far they support `clock`."""
        return float(self.local_probability[_apart(self.clock) <= hours].sum())


def combine_cues(
    cues: Sequence[Cue | ShadowCue],
    fall_off: FallOff | None,
    elevation_deg: float,
    trust: float = 1.0,
) -> Dial:
    """Combine the cues into a probability of each clock position.

    Parameters
    ----------
    cues : sequence of Cue or ShadowCue
        Local ones.
    fall_off : FallOff or None
    elevation_deg : float
        Of the camera.
    trust : float
        Factor of all log-likelihoods; below 1 if the camera elevation was assumed.
    """
    likelihood = np.zeros(N_DIRECTIONS)
    evidence = 0.0
    for cue in cues:
        own = CUE_WEIGHTS[cue.name] * cue.weight * _profile(cue, elevation_deg)
        likelihood += trust * own
        evidence += float(np.ptp(own)) / 2
    local = _normalised(likelihood)
    probability = local
    if fall_off is not None:
        side = fall_off.right * ON_TABLE[0] + fall_off.away * ON_TABLE[1]
        of_light = _normalised(trust * FALL_OFF_WEIGHT * side)
        mixed = (1 - LAID_OVER_SHARE) * of_light + LAID_OVER_SHARE / N_DIRECTIONS
        probability = local * mixed / (local @ mixed)
    peak = float(CLOCKS[int(np.argmax(probability))])
    near = np.where(_apart(peak) <= NEAR_THE_PEAK_HOURS, probability, 0)
    clock = clock_from_direction(float(near @ ON_TABLE[0]), float(near @ ON_TABLE[1]))
    return Dial(clock, probability, local, evidence)


def _normalised(log_likelihood: Floats) -> Floats:
    probability = np.exp(log_likelihood - log_likelihood.max())
    return np.asarray(probability / probability.sum())


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
    """Distance of each position in `CLOCKS` from a clock position, hours along the shorter arc."""
    around = np.abs(CLOCKS - clock)
    return np.asarray(np.where(around > 6, 12 - around, around))
