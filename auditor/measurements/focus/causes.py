"""Probabilities that the subject is in focus, and of the causes of sharpness and softness."""

from __future__ import annotations

import math
from typing import Literal

from auditor.measurements.focus.evidence import SHARP_ENOUGH, Evidence

Cause = Literal["shallow focus", "deep focus", "missed focus", "motion blur", "soft all over"]

IN_FOCUS_RATIO = 0.6
"""Sharpness of the subject relative to that of the sharpest other part, from which it is in focus.
Things differ in detail. Of 79 photographs of dishes as finished by their makers none is below it;
with the subject blurred by 1.5 px of 1024, 70 % are, by 2 px, 87 %."""

RATIO_SCALE = 0.06
"""Distance from `IN_FOCUS_RATIO` at which the odds are e to 1 (2.7)."""

SOFT_SHARPNESS = 0.42
"""Sharpness of the sharpest part below which the whole frame is soft: that of a step blurred by a
Gaussian of 0.6 fine spans, which is at least 0.6 px of a frame 2048 px long."""

SOFT_SCALE = 0.03
"""Distance from `SOFT_SHARPNESS` at which the odds are e to 1."""

MOTION_BLUR_LOG_RATIO = 0.19
"""Result of `motion_blur` on the subject from which it is motion blur. Of 116 photographs (dishes
and others) 3 are above it."""

MOTION_BLUR_SCALE = 0.02
"""Distance from `MOTION_BLUR_LOG_RATIO` at which the odds are e to 1."""

STILL_SHARPNESS = 0.88
"""Sharpness of the subject from which nothing has moved: hair, keys and lettering have a direction
of their own and are sharp. With it none of the 116 photographs has motion blur, nor any that was
sharpened, smoothed and compressed as phones do; of copies moved by 12 px of 1024, two thirds."""

STILL_SCALE = 0.03
"""Distance from `STILL_SHARPNESS` at which the odds are e to 1."""

SHARP_ELSEWHERE = 0.78
"""Sharpness of the sharpest part elsewhere from which something there is in focus. Where the whole
frame is out of focus, smooth food is still softer than the cutlery beside it."""

SHARP_ELSEWHERE_SCALE = 0.04
"""Distance from `SHARP_ELSEWHERE` at which the odds are e to 1."""

SHALLOW_SHARE = 0.5
"""Share of soft tiles elsewhere from which the depth of field is shallow."""

SHALLOW_SCALE = 0.3
"""Distance from `SHALLOW_SHARE` at which the odds are e to 1: the transition is gradual, and grain
hides soft texture before it hides sharp edges."""

TILES_OF_HALF_TRUST = 1.0
"""Textured tiles on the subject at which half of the trust is lost."""

FULL_TRUST_PX = 640
LEAST_SIZE_TRUST = 0.3
"""Longest side from which a picture that looks sharp is sharp, and the factor for the confidence of
a picture of no size. Reduced far enough, every picture looks sharp. Of 41 photographs of dishes,
blurred by 1.5 to 8 px of 1024 or not at all, the share of correct answers "in focus" was 94 % at
640 px, 85 % at 448, 78 % at 320 and 75 % at 224, where the confidence was 92 % and more."""

MIN_CAUSE_PROBABILITY = 0.6
"""Probability from which a cause is named."""

MIN_FAULT_PROBABILITY = 0.85
"""The same for missed focus and motion blur, after which a picture has to be shot again. Of 372
named on copies of 116 photographs with known blur, 2 were wrong; from 0.6 on it was 1 in 30."""

FAULTS: frozenset[Cause] = frozenset({"missed focus", "motion blur"})

MAX_CONFIDENCE = 0.95
"""Greatest confidence: a subject may have no texture where it matters, or its mask may be wrong."""

MAX_LOGIT = 50.0
"""Limit of the argument of the logistic function, to avoid overflow."""


def probability_in_focus(evidence: Evidence) -> float:
    """Probability that the subject is about as sharp as the sharpest part of the frame."""
    distance = (_as_sharp(evidence) - 0.5) * (2 * _trust(evidence) - 1)
    return 0.5 + (distance * _size_trust(evidence) if distance > 0 else distance)


def cause_of(evidence: Evidence) -> tuple[Cause | None, float | None]:
    """Find the most probable cause.

    Returns
    -------
    cause : str or None
        None if no cause reaches its least probability.
    probability : float or None
        None exactly where there is no cause.
    """
    moved = _logistic(evidence.motion_blur - MOTION_BLUR_LOG_RATIO, MOTION_BLUR_SCALE) * _logistic(
        STILL_SHARPNESS - evidence.subject, STILL_SCALE
    )
    best = max(evidence.subject, evidence.elsewhere)
    soft = _logistic(SOFT_SHARPNESS - best, SOFT_SCALE)
    as_sharp, shallow = _as_sharp(evidence), 0.5
    if evidence.soft_share is not None:
        shallow = _logistic(evidence.soft_share - SHALLOW_SHARE, SHALLOW_SCALE)
    sharp_elsewhere = _logistic(evidence.elsewhere - SHARP_ELSEWHERE, SHARP_ELSEWHERE_SCALE)
    focused = (1 - moved) * (1 - soft) * as_sharp * _size_trust(evidence)
    probabilities: dict[Cause, float] = {
        "motion blur": moved,
        "soft all over": (1 - moved) * soft,
        "missed focus": (1 - moved) * (1 - soft) * (1 - as_sharp) * sharp_elsewhere,
        "shallow focus": focused * shallow,
        "deep focus": focused * (1 - shallow),
    }
    cause = max(probabilities, key=lambda name: probabilities[name])
    probability = probabilities[cause] * _trust(evidence)
    least = MIN_FAULT_PROBABILITY if cause in FAULTS else MIN_CAUSE_PROBABILITY
    return (cause, probability) if probability >= least else (None, None)


def _as_sharp(evidence: Evidence) -> float:
    """Probability, from sharpness alone, that the subject is as sharp as anything else."""
    subject = min(evidence.subject, SHARP_ENOUGH)
    best = max(subject, min(evidence.elsewhere, SHARP_ENOUGH))
    ratio = subject / best if best > 0 else 1.0
    return _logistic(ratio - IN_FOCUS_RATIO, RATIO_SCALE)


def _logistic(distance: float, scale: float) -> float:
    """Logistic probability of a signed distance from a threshold."""
    return 1 / (1 + math.exp(-max(-MAX_LOGIT, min(MAX_LOGIT, distance / scale))))


def _trust(evidence: Evidence) -> float:
    """Probability that the evidence is right; it grows with the number of tiles."""
    seen = evidence.n_tiles / (evidence.n_tiles + TILES_OF_HALF_TRUST)
    return 0.5 + (MAX_CONFIDENCE - 0.5) * seen


def _size_trust(evidence: Evidence) -> float:
    """Factor for the trust in sharpness, by the size of the picture."""
    return LEAST_SIZE_TRUST + (1 - LEAST_SIZE_TRUST) * min(1.0, evidence.longest_px / FULL_TRUST_PX)
