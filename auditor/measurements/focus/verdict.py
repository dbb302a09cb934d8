"""What the sharpness of the frame says: whether the subject is in focus, and what the cause is."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from auditor.colorimetry import on_grid
from auditor.geometry import Point
from auditor.measurements.focus.motion_blur import smear
from auditor.measurements.focus.sharpness import SMALLEST_SIDE_PX, SharpnessMap, sharpness_map
from auditor.quantity import Quantity
from auditor.reasons import Reason

Cause = Literal["shallow focus", "deep focus", "missed focus", "motion blur", "soft all over"]

SUBJECT_PERCENTILE = 90.0
"""The subject is as sharp as its sharpest tenth: depth of field is shallow on purpose."""

ELSEWHERE_PERCENTILE = 95.0
"""The sharpest part of the rest, without the tiles that are an accident."""

SHARP_ENOUGH = 0.8
"""Sharpness above which nothing looks sharper: a glazed pot is drawn softer than a woven cloth."""

NEARLY_BEST = 0.9
"""Sharpness over the frame's best from which a tile belongs to the sharpest part."""

IN_FOCUS_RATIO = 0.6
"""Sharpness of the subject over that of the sharpest other part from which it is in focus. Things
differ in how fine they are made: none of 79 photographs of dishes as their makers finished them is
below, 70 % are with the subject blurred by 1.5 px of 1024, 87 % by 2 px."""

RATIO_SCALE = 0.06
"""Distance from `IN_FOCUS_RATIO` at which the odds are e to 1 (2.7)."""

SOFT_SHARPNESS = 0.42
"""Sharpness of the sharpest part below which the whole frame is soft: that of a step blurred by a
Gaussian of 0.6 fine spans, which is at least 0.6 px of a frame 2048 px long."""

SOFT_SCALE = 0.03
"""Distance from `SOFT_SHARPNESS` at which the odds are e to 1."""

SMEARED = 0.17
"""Logarithm of the ratio of sharpness across and along a direction, on the subject, from which it
is movement, set high since a finished picture is seldom moved. Above it lie 1 of 79 photographs of
dishes, none of 325 rendered tables and 1 of 100 views; movement is named in nine tenths of the
photographs smeared by 8 px of 1024 and in 45 % of those smeared by 4 px."""

SMEARED_SCALE = 0.02
"""Distance from `SMEARED` at which the odds are e to 1."""

SOFTER_RATIO = 0.5
"""Sharpness over the subject's below which a tile elsewhere is soft beside it."""

SHALLOW_SHARE = 0.5
"""Share of soft tiles elsewhere from which the depth of field is shallow: much of the frame."""

SHALLOW_SCALE = 0.3
"""Distance from `SHALLOW_SHARE` at which the odds are e to 1: there is no clear border, and grain
hides soft texture before it hides sharp edges."""

ON_SUBJECT_SHARE = 0.5
"""Share of a tile from which it counts to the subject."""

SAMPLES_ALONG_TILE = 8
"""Places along a tile's side at which the mask is looked up: to a sixteenth of its share."""

MIN_SUBJECT_TILES = 3
"""Textured tiles on the subject below which nothing can be said."""

MIN_TILES_ELSEWHERE = 8
"""Textured tiles elsewhere below which there is nothing to compare the subject with."""

TILES_OF_HALF_TRUST = 1.0
"""Textured tiles on the subject at which half of the trust is lost."""

FULLY_SEEN_PX = 640
LEAST_SEEN = 0.3
"""Longest side from which what looks sharp is sharp as surely as it seems, and what is left of that
at no size at all. Reduced far enough everything is sharp: of 41 photographs of dishes, softened by
1.5 to 8 px of 1024 or not at all, the subjects said to be in focus were so in 94 % at 640 px, 85 %
at 448, 78 % at 320 and 75 % at 224, where 92 % and more had been expected."""

CAUSE_FROM = 0.6
"""Probability from which a cause is named."""

BEST_CONFIDENCE = 0.95
"""A subject without any texture where it matters, or a wrong mask, can always be."""


@dataclass(frozen=True, slots=True)
class Focus:
    """Sharpness in the frame; the quantity's confidence is that of `subject_in_focus`.

    Attributes
    ----------
    subject_sharpness : float
        In [0, 1], higher is sharper; comparable between pictures of about the same size.
    sharpest_at : Point
        Centre of the sharpest part of the frame.
    subject_in_focus : bool
        Whether the subject is about as sharp as the sharpest part of the frame, sharp or not.
    cause : str or None
        ``shallow focus``: the subject is sharp and much of the rest is soft. ``deep focus``: most
        of the rest is sharp, too. ``missed focus``: the subject is soft and something else is
        sharp. ``motion blur``: soft in one direction, the subject's or the camera's. ``soft all
        over``: nothing in the frame is sharp. None where it cannot be told.
    cause_confidence : float or None
        Probability that the cause is right; None exactly where there is none.
    """

    subject_sharpness: float
    sharpest_at: Point
    subject_in_focus: bool
    cause: Cause | None = None
    cause_confidence: float | None = None


@dataclass(frozen=True, slots=True)
class Evidence:
    """What the verdict is read from.

    Attributes
    ----------
    subject, elsewhere : float
        Sharpness of both, in [0, 1]; 0 elsewhere where there is too little to compare with.
    soft_share : float or None
        Share of the textured tiles elsewhere that are soft beside the subject.
    smear : float
        As of `smear`, of the subject. A moved camera moves it, too; the rest of the frame does not
        count, for a board has its grain and a cloth its weave.
    n_tiles : int
        Textured tiles on the subject.
    longest_px : int
        Longest side of the picture that was read.
    """

    subject: float
    elsewhere: float
    soft_share: float | None
    smear: float
    n_tiles: int
    longest_px: int


def measure_focus(detail: NDArray[np.uint8], subject_mask: NDArray[np.bool_]) -> Quantity[Focus]:
    """Measure sharpness in (H, W, 3) uint8 sRGB pixels; `subject_mask` (h, w) covers the frame.

    Returns
    -------
    Quantity of Focus
        Undetermined with `NO_SUBJECT` where the mask is empty, `TOO_SMALL`, or `NO_TEXTURE` where
        the subject is too smooth. The tolerance is that of the ratio of sharpness between subject
        and frame.
    """
    if not subject_mask.any():
        return Quantity.undetermined(Reason.NO_SUBJECT)
    if min(detail.shape[:2]) < SMALLEST_SIDE_PX:
        return Quantity.undetermined(Reason.TOO_SMALL)
    tiles = sharpness_map(detail)
    on_subject = subject_tiles(subject_mask, *tiles.textured.shape)
    if (on_subject & tiles.textured).sum() < MIN_SUBJECT_TILES:
        return Quantity.undetermined(Reason.NO_TEXTURE)
    evidence = evidence_of(tiles, on_subject, max(detail.shape[:2]))
    in_focus = probability_in_focus(evidence)
    cause, cause_confidence = cause_of(evidence)
    value = Focus(
        evidence.subject,
        _sharpest_at(tiles, max(evidence.subject, evidence.elsewhere)),
        in_focus >= 0.5,
        cause,
        cause_confidence,
    )
    confidence = max(in_focus, 1 - in_focus)
    return Quantity.measured(value, confidence=confidence, tolerance=RATIO_SCALE)


def evidence_of(tiles: SharpnessMap, on_subject: NDArray[np.bool_], longest_px: int) -> Evidence:
    """Read the evidence off the map; `on_subject` (rows, columns) has some textured tiles."""
    subject = tiles.sharpness[on_subject & tiles.textured]
    elsewhere = tiles.sharpness[~on_subject & tiles.textured]
    sharpness = float(np.percentile(subject, SUBJECT_PERCENTILE))
    comparable = elsewhere.size >= MIN_TILES_ELSEWHERE
    soft = elsewhere < SOFTER_RATIO * min(sharpness, SHARP_ENOUGH)
    return Evidence(
        subject=sharpness,
        elsewhere=float(np.percentile(elsewhere, ELSEWHERE_PERCENTILE)) if comparable else 0.0,
        soft_share=float(soft.mean()) if comparable else None,
        smear=smear(tiles, on_subject),
        n_tiles=int(subject.size),
        longest_px=longest_px,
    )


def probability_in_focus(evidence: Evidence) -> float:
    """Probability that the subject is about as sharp as anything else in the frame."""
    distance = (_as_sharp(evidence) - 0.5) * (2 * _trust(evidence) - 1)
    return 0.5 + (distance * _seen(evidence) if distance > 0 else distance)


def cause_of(evidence: Evidence) -> tuple[Cause | None, float | None]:
    """Name the likeliest cause with its probability, or nothing where none is likely enough."""
    smeared = _odds(evidence.smear - SMEARED, SMEARED_SCALE)
    best = max(evidence.subject, evidence.elsewhere)
    soft = _odds(SOFT_SHARPNESS - best, SOFT_SCALE)
    as_sharp, shallow = _as_sharp(evidence), 0.5
    if evidence.soft_share is not None:
        shallow = _odds(evidence.soft_share - SHALLOW_SHARE, SHALLOW_SCALE)
    focused = (1 - smeared) * (1 - soft) * as_sharp * _seen(evidence)
    likely: dict[Cause, float] = {
        "motion blur": smeared,
        "soft all over": (1 - smeared) * soft,
        "missed focus": (1 - smeared) * (1 - soft) * (1 - as_sharp),
        "shallow focus": focused * shallow,
        "deep focus": focused * (1 - shallow),
    }
    cause = max(likely, key=lambda name: likely[name])
    probability = likely[cause] * _trust(evidence)
    return (cause, probability) if probability >= CAUSE_FROM else (None, None)


def _as_sharp(evidence: Evidence) -> float:
    subject = min(evidence.subject, SHARP_ENOUGH)
    best = max(subject, min(evidence.elsewhere, SHARP_ENOUGH))
    ratio = subject / best if best > 0 else 1.0
    return _odds(ratio - IN_FOCUS_RATIO, RATIO_SCALE)


def _odds(distance: float, scale: float) -> float:
    """Logistic probability of a signed distance from a limit."""
    return 1 / (1 + math.exp(-max(-50.0, min(50.0, distance / scale))))


def _trust(evidence: Evidence) -> float:
    """Probability that the evidence is what it seems: less the less there was to see."""
    seen = evidence.n_tiles / (evidence.n_tiles + TILES_OF_HALF_TRUST)
    return 0.5 + (BEST_CONFIDENCE - 0.5) * seen


def _seen(evidence: Evidence) -> float:
    """Part of the trust in sharpness that the size of the picture leaves."""
    return LEAST_SEEN + (1 - LEAST_SEEN) * min(1.0, evidence.longest_px / FULLY_SEEN_PX)


def subject_tiles(mask: NDArray[np.bool_], n_rows: int, n_columns: int) -> NDArray[np.bool_]:
    """Tiles of which at least half lies on the subject; those it touches where none does."""
    n = SAMPLES_ALONG_TILE
    samples = on_grid(mask, n_rows * n, n_columns * n).reshape(n_rows, n, n_columns, n)
    share = samples.mean(axis=(1, 3))
    tiles: NDArray[np.bool_] = share >= ON_SUBJECT_SHARE
    return tiles if tiles.any() else share > 0


def _sharpest_at(tiles: SharpnessMap, best: float) -> Point:
    """Mean position of the tiles that are nearly as sharp as the frame's best."""
    sharp = tiles.textured & (tiles.sharpness >= NEARLY_BEST * best)
    rows, columns = np.nonzero(sharp)
    height, width = sharp.shape
    return Point(float(columns.mean() + 0.5) / width, float(rows.mean() + 0.5) / height)
