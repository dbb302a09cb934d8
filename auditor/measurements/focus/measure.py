"""Sharpness of subject and frame, and its cause."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from auditor.geometry import Point
from auditor.measurements.focus.causes import (
    RATIO_SCALE,
    Cause,
    cause_of,
    probability_in_focus,
)
from auditor.measurements.focus.evidence import evidence_of, subject_tiles, touched_tiles
from auditor.measurements.focus.sharpness import SMALLEST_SIDE_PX, SharpnessMap, sharpness_map
from auditor.quantity import Quantity
from auditor.reasons import Reason

NEARLY_BEST = 0.9
"""Sharpness relative to the frame's best from which a tile belongs to the sharpest part."""

MIN_SUBJECT_TILES = 3
"""Textured tiles on the subject below which its sharpness cannot be measured."""

IN_FOCUS_PROBABILITY = 0.5
"""Probability from which the subject is in focus: more likely than not."""


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
        True if the subject is about as sharp as the sharpest part of the frame, even if that is not
        sharp.
    cause : str or None
        ``shallow focus``: the subject is sharp and much of the rest is soft. ``deep focus``: most
        of the rest is sharp, too. ``missed focus``: the subject is soft and something else is
        sharp. ``motion blur``: the blur has a direction; subject or camera moved. ``soft all
        over``: nothing in the frame is sharp. None if no cause is probable enough.
    cause_confidence : float or None
        Probability that the cause is right; None exactly where `cause` is None.
    """

    subject_sharpness: float
    sharpest_at: Point
    subject_in_focus: bool
    cause: Cause | None = None
    cause_confidence: float | None = None


def measure_focus(
    detail: NDArray[np.uint8],
    subject_mask: NDArray[np.bool_],
    additions: NDArray[np.bool_] | None = None,
) -> Quantity[Focus]:
    """Measure the focus of a picture.

    Parameters
    ----------
    detail : (H, W, 3) uint8 array
        sRGB.
    subject_mask : (h, w) bool array
        Covers the same frame.
    additions : (h, w) bool array, optional
        What was put onto the picture, covering the same frame; tiles that it touches are not used.

    Returns
    -------
    Quantity of Focus
        The tolerance is that of the ratio of sharpness between subject and frame. Undetermined with
        `Reason.NO_SUBJECT` if the mask is empty, `Reason.TOO_SMALL` if a side is shorter than
        `SMALLEST_SIDE_PX`, `Reason.NO_TEXTURE` if the subject is too smooth.
    """
    if not subject_mask.any():
        return Quantity.undetermined(Reason.NO_SUBJECT)
    if min(detail.shape[:2]) < SMALLEST_SIDE_PX:
        return Quantity.undetermined(Reason.TOO_SMALL)
    tiles = sharpness_map(detail)
    if additions is not None and additions.any():
        touched = touched_tiles(additions, *tiles.textured.shape)
        tiles = replace(tiles, textured=tiles.textured & ~touched)
    on_subject = subject_tiles(subject_mask, *tiles.textured.shape)
    if (on_subject & tiles.textured).sum() < MIN_SUBJECT_TILES:
        return Quantity.undetermined(Reason.NO_TEXTURE)
    evidence = evidence_of(tiles, on_subject, max(detail.shape[:2]))
    in_focus = probability_in_focus(evidence)
    cause, cause_confidence = cause_of(evidence)
    value = Focus(
        evidence.subject,
        _sharpest_at(tiles, max(evidence.subject, evidence.elsewhere)),
        in_focus >= IN_FOCUS_PROBABILITY,
        cause,
        cause_confidence,
    )
    confidence = max(in_focus, 1 - in_focus)
    return Quantity.measured(value, confidence=confidence, tolerance=RATIO_SCALE)


def _sharpest_at(tiles: SharpnessMap, best: float) -> Point:
    """Mean position of the tiles that are nearly as sharp as the frame's best."""
    sharp = tiles.textured & (tiles.sharpness >= NEARLY_BEST * best)
    rows, columns = np.nonzero(sharp)
    height, width = sharp.shape
    return Point(float(columns.mean() + 0.5) / width, float(rows.mean() + 0.5) / height)
