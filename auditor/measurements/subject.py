"""The subject: mask, centroid, box and share of the frame of what the picture is of.

The finder's map is cut at half probability. A subject may be in several parts (cakes on a
stand); two parts of equal weight far apart are rivals, and the answer is open.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy import ndimage

from auditor.geometry import Box, Point, Region, describe_mask, distance_fraction
from auditor.quantity import Quantity
from auditor.reasons import Reason

TOLERANCE = 0.05  # of the centroid, fraction of the diagonal: what a plan's placing can live with
SUBJECT_PROBABILITY = 0.5  # more likely subject than not
WEAK_PROBABILITY = 0.25  # a map that nowhere reaches this has no subject
LEAST_SHARE = 0.001  # of the frame, in weight of the map: less is a speck
PART_SHARE = 0.15  # of the main part's weight: less is a stray spot, not a part of the subject
RIVAL_SHARE = 0.8  # of the main part's weight: as good a subject as the main part
RIVAL_DISTANCE = 0.3  # between centroids, fraction of the diagonal: too far for one group
RIVAL_ELSEWHERE_SHARE = 0.25  # of the weight in other parts: with more it is a group after all
POINT_RADIUS = 0.05  # of the diagonal: the disc taken about a point that lies on no thing
BOX_FILL = 0.2  # of a named box: where the map fills less of it, the box itself is the mask
METADATA_CONFIDENCE = 0.95  # the photographer or camera said so; not 1: focus points drift

# Probability that the centroid is within `TOLERANCE`: a logistic of the cues below with a ridge of
# 0.03, fitted on the 99 photographs of the ECSSD set that neither network had learnt from and on 58
# rendered tables, both kinds of equal weight. Cross-validated in six parts its expected calibration
# error is 0.04 (mean confidence 0.86, right 0.85).
CONFIDENCE_BIAS = 1.82
CONFIDENCE_WEIGHTS = (-0.9, -0.76, -0.72, -0.74, 0.08)
# A subject that is almost surely misplaced is no finding: a blank wall, a frame full of one food.
LEAST_CONFIDENCE = 0.05
WIDE_CUT, TIGHT_CUT = 0.2, 0.8  # probabilities between which an outline may be drawn
DOUBT_FLOOR = 0.05  # bits a pixel of the subject: even a sure map has a soft outline
SPREAD_LIMIT, REST_LIMIT, CROWD_LIMIT = 4.0, 2.0, 3.0  # further doubt adds nothing

Mask = NDArray[np.bool_]


@dataclass(frozen=True, slots=True)
class FoundSubject:
    """The subject as a quantity and as a mask.

    Attributes
    ----------
    region : Quantity of Region
        Its tolerance is a distance of the centroid, as a fraction of the frame's diagonal.
    mask : (h, w) bool array
        Covers the frame; all False where there is no subject.
    """

    region: Quantity[Region]
    mask: Mask


def measure_subject(
    subject_map: NDArray[np.float32], elements_map: NDArray[np.float32]
) -> FoundSubject:
    """Find the subject in the finder's maps (both (h, w), in [0, 1], square pixels)."""
    peak = float(subject_map.max())
    if peak < WEAK_PROBABILITY:
        return _nothing(subject_map.shape, Reason.NO_SUBJECT)
    labels, n_parts = ndimage.label(subject_map >= min(SUBJECT_PROBABILITY, peak / 2))
    weights = _weights(labels, subject_map, n_parts)
    if weights.max() < LEAST_SHARE * subject_map.size:
        return _nothing(subject_map.shape, Reason.NO_SUBJECT)
    if _has_rivals(labels, weights):
        return _nothing(subject_map.shape, Reason.COMPETING_SUBJECTS)
    kept = np.flatnonzero(weights >= PART_SHARE * weights.max()) + 1
    mask = np.asarray(ndimage.binary_fill_holes(np.isin(labels, kept)), dtype=np.bool_)
    score = CONFIDENCE_BIAS + sum(
        weight * cue
        for weight, cue in zip(
            CONFIDENCE_WEIGHTS, confidence_cues(subject_map, elements_map, mask), strict=True
        )
    )
    confidence = 1 / (1 + math.exp(-score))
    if confidence < LEAST_CONFIDENCE:
        return _nothing(subject_map.shape, Reason.NO_SUBJECT)
    return _found(mask, confidence)


def subject_from_metadata(
    box: Box, subject_map: NDArray[np.float32], *, is_point: bool
) -> FoundSubject:
    """Take the subject from a region that the picture's metadata name; the map fills its shape.

    Within a box that is the map's subject where it fills a fair part of the box, else the whole
    box, clipped to the frame; about a point the part of the map that holds it, else a small disc.
    """
    mask = _about_point(box.centre, subject_map) if is_point else _within_box(box, subject_map)
    return _found(mask, METADATA_CONFIDENCE)


def confidence_cues(
    subject_map: NDArray[np.float32], elements_map: NDArray[np.float32], mask: Mask
) -> tuple[float, float, float, float, float]:
    """What tells a sure map from a doubtful one.

    Returns
    -------
    tuple of five floats
        Doubt: the map's binary entropy in bits over the subject's area (log). Spread: how far the
        centroid moves between a wide and a tight cut, in units of `TOLERANCE`. Rest: weight of the
        map outside the mask over that within. Openness: share of the frame's edge that the
        subject touches. Crowd: area of the other things over the subject's (log of 1 plus it).
    """
    p = np.clip(subject_map.astype(np.float64), 1e-6, 1 - 1e-6)
    area = int(mask.sum())
    entropy = float(-(p * np.log2(p) + (1 - p) * np.log2(1 - p)).sum()) / area
    wide, tight = _centroid(p * (p >= WIDE_CUT)), _centroid(p * (p >= min(TIGHT_CUT, p.max())))
    height, width = mask.shape
    spread = distance_fraction(wide, tight, width, height) / TOLERANCE
    rest = float(p[~mask].sum()) / float(p[mask].sum())
    edge = np.concatenate([mask[0], mask[-1], mask[:, 0], mask[:, -1]])
    others = int(((elements_map >= SUBJECT_PROBABILITY) & ~mask).sum())
    return (
        math.log(entropy + DOUBT_FLOOR),
        min(spread, SPREAD_LIMIT),
        min(rest, REST_LIMIT),
        float(edge.mean()),
        math.log1p(min(others / area, CROWD_LIMIT)),
    )


def _weights(
    labels: NDArray[np.integer], subject_map: NDArray[np.float32], n_parts: int
) -> NDArray[np.float64]:
    """Sum of the map over each part, (n_parts,)."""
    sums = np.bincount(labels.ravel(), weights=subject_map.ravel(), minlength=n_parts + 1)
    return np.asarray(sums[1:], dtype=np.float64)


def _nothing(shape: tuple[int, ...], reason: Reason) -> FoundSubject:
    return FoundSubject(Quantity.undetermined(reason), np.zeros(shape, dtype=np.bool_))


def _found(mask: Mask, confidence: float) -> FoundSubject:
    region = describe_mask(mask)
    if region is None:
        return _nothing(mask.shape, Reason.NO_SUBJECT)
    return FoundSubject(Quantity.measured(region, confidence=confidence, tolerance=TOLERANCE), mask)


def _has_rivals(labels: NDArray[np.integer], weights: NDArray[np.floating]) -> bool:
    """Whether the two main parts weigh alike, lie far apart and are nearly all that there is."""
    order = np.argsort(-weights, kind="stable")
    main, others = order[0], order[1:]
    if others.size == 0 or weights[others[0]] < RIVAL_SHARE * weights[main]:
        return False
    first, second = (_centroid((labels == part + 1).astype(float)) for part in (main, others[0]))
    height, width = labels.shape
    apart = distance_fraction(first, second, width, height)
    elsewhere = float(weights[others[1:]].sum() / weights.sum())
    return apart > RIVAL_DISTANCE and elsewhere < RIVAL_ELSEWHERE_SHARE


def _centroid(weights: NDArray[np.float64]) -> Point:
    total = float(weights.sum())
    x, y = _grid(weights.shape)
    return Point(float((weights * x).sum()) / total, float((weights * y).sum()) / total)


def _grid(shape: tuple[int, ...]) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Position in the frame of each pixel's centre: x (1, w) and y (h, 1)."""
    height, width = shape
    x, y = (np.arange(width) + 0.5) / width, (np.arange(height) + 0.5) / height
    return x[np.newaxis], y[:, np.newaxis]


def _within_box(box: Box, subject_map: NDArray[np.float32]) -> Mask:
    x, y = _grid(subject_map.shape)
    inside = (x >= box.left) & (x <= box.right) & (y >= box.top) & (y <= box.bottom)
    shape = inside & (subject_map >= SUBJECT_PROBABILITY)
    return shape if shape.sum() > BOX_FILL * inside.sum() else inside


def _about_point(point: Point, subject_map: NDArray[np.float32]) -> Mask:
    height, width = subject_map.shape
    row = min(max(int(point.y * height), 0), height - 1)
    column = min(max(int(point.x * width), 0), width - 1)
    labels, _ = ndimage.label(subject_map >= SUBJECT_PROBABILITY)
    if labels[row, column]:
        return np.asarray(labels == labels[row, column], dtype=np.bool_)
    x, y = _grid(subject_map.shape)
    away = np.hypot((x - point.x) * width, (y - point.y) * height)
    return np.asarray(away <= POINT_RADIUS * math.hypot(width, height), dtype=np.bool_)
