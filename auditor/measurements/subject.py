"""The subject: mask, centroid, box and share of the frame of what the picture is of.

The finder's map is cut at half probability. A subject may be in several parts (cakes on a
stand). Two things alike and far apart are rivals, whether their masks touch or not, and the answer
is open; one of many alike all over the frame, or a mask that fills it, is no subject.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy import ndimage
from skimage.segmentation import watershed

from auditor.geometry import Box, Point, Region, describe_mask, distance_fraction
from auditor.quantity import Quantity
from auditor.reasons import Reason

TOLERANCE = 0.05  # of the centroid, fraction of the diagonal: what a plan's placing can live with
SUBJECT_PROBABILITY = 0.5  # more likely subject than not
WEAK_PROBABILITY = 0.25  # a map that nowhere reaches this has no subject
LEAST_SHARE = 0.001  # of the frame, in weight of the map: less is a speck
PART_SHARE = 0.15  # of the main part's weight: less is a stray spot, not a part of the subject
NECK_RATIO = 0.6  # of a part's greatest depth: where it is shallower, it falls into lobes
RIVAL_SHARE = 0.6  # of the main lobe's area: alike, one a little nearer to the camera
RIVAL_DISTANCE = 0.3  # between centroids, fraction of the diagonal: too far for one group
RIVAL_ELSEWHERE_SHARE = 0.15  # of the area in other lobes: with more it is a group after all
ALIKE_RATIO = 1.6  # between the areas of two things of one kind
N_PATTERN = 6  # things alike: a photographer counts up to five, more are a pattern (no source)
PATTERN_SPAN = 0.6  # of the frame, in the box around them: things all over it, not a group
SURE_PROBABILITY = 0.9  # mean of the map within the one of many that is plainly meant
FULL_SHARE = 0.98  # of the frame: what fills it stands out from nothing
POINT_RADIUS = 0.05  # of the diagonal: the disc taken about a point that lies on no thing
BOX_FILL = 0.2  # of a named box: where the map fills less of it, the box itself is the mask
METADATA_CONFIDENCE = 0.95  # the photographer or camera said so; not 1: focus points drift

# Probability that the centroid is within `TOLERANCE`: a logistic of `confidence_cues` with a ridge,
# fitted by tests/benchmarks/fit_subject_confidence.py on photographs and rendered tables that are
# kept for choosing, both kinds of equal weight; the model's card says how well it keeps its word.
CONFIDENCE_BIAS = -3.12
CONFIDENCE_WEIGHTS = (-1.92, -0.28, -1.79)
# A subject that is most likely misplaced is no finding: a blank wall, a bed of beans.
LEAST_CONFIDENCE = 0.2
CORE_DEPTH_RATIO = 0.35  # of the mask's greatest depth: what is deeper is its core
CUE_FLOOR = 0.05  # in tolerances or bits: less is noise, and its logarithm would tell nothing

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
    mask = subject_mask(subject_map, elements_map)
    if isinstance(mask, Reason):
        return _nothing(subject_map.shape, mask)
    score = CONFIDENCE_BIAS + sum(
        weight * cue
        for weight, cue in zip(CONFIDENCE_WEIGHTS, confidence_cues(subject_map, mask), strict=True)
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


def subject_mask(
    subject_map: NDArray[np.float32], elements_map: NDArray[np.float32]
) -> Mask | Reason:
    """Where the maps say that the subject is, however surely; or why they name none."""
    mask = _cut(subject_map)
    if mask is None or mask.mean() > FULL_SHARE:
        return Reason.NO_SUBJECT
    lobes = _lobes(mask)
    if _is_one_of_many(lobes, subject_map, elements_map):
        return Reason.NO_SUBJECT
    return Reason.COMPETING_SUBJECTS if _has_rivals(lobes) else mask


def confidence_cues(subject_map: NDArray[np.float32], mask: Mask) -> tuple[float, float, float]:
    """What tells a sure map from a doubtful one.

    Returns
    -------
    tuple of three floats
        Leverage: how far the doubtful pixels can draw the centroid, the variance of each times
        its distance over the map's weight, in units of `TOLERANCE` (log). Core shift: distance
        between the centroids of the mask and of its inner part, in the same unit (log). Doubt:
        the map's binary entropy within the mask, in bits a pixel (log).
    """
    p = np.clip(subject_map.astype(np.float64), 1e-6, 1 - 1e-6)
    inside, middle = p[mask], _centroid(mask)
    away = _distance(mask.shape, middle) / (TOLERANCE * math.hypot(*mask.shape))
    leverage = float((p * (1 - p) * away).sum() / p.sum())
    depth = _depth(mask)
    core = _centroid(depth > CORE_DEPTH_RATIO * depth.max())
    shift = distance_fraction(middle, core, *mask.shape[::-1]) / TOLERANCE
    doubt = -float((inside * np.log2(inside) + (1 - inside) * np.log2(1 - inside)).mean())
    return (
        math.log(leverage + CUE_FLOOR),
        math.log(shift + CUE_FLOOR),
        math.log(doubt + CUE_FLOOR),
    )


def _cut(subject_map: NDArray[np.float32]) -> Mask | None:
    """The map's main part and what weighs nearly as much, holes filled; None if it is weak."""
    peak = float(subject_map.max())
    if peak < WEAK_PROBABILITY:
        return None
    labels, n_parts = ndimage.label(subject_map >= min(SUBJECT_PROBABILITY, peak / 2))
    sums = np.bincount(labels.ravel(), weights=subject_map.ravel(), minlength=n_parts + 1)[1:]
    if sums.max() < LEAST_SHARE * subject_map.size:
        return None
    kept = np.flatnonzero(sums >= PART_SHARE * sums.max()) + 1
    return np.asarray(ndimage.binary_fill_holes(np.isin(labels, kept)), dtype=np.bool_)


def _nothing(shape: tuple[int, ...], reason: Reason) -> FoundSubject:
    return FoundSubject(Quantity.undetermined(reason), np.zeros(shape, dtype=np.bool_))


def _found(mask: Mask, confidence: float) -> FoundSubject:
    region = describe_mask(mask)
    if region is None:
        return _nothing(mask.shape, Reason.NO_SUBJECT)
    return FoundSubject(Quantity.measured(region, confidence=confidence, tolerance=TOLERANCE), mask)


def _lobes(mask: Mask) -> NDArray[np.int32]:
    """Label the parts of a mask, and the lobes of a part that hang together by a neck apart."""
    depth = _depth(mask)
    parts, n_parts = ndimage.label(mask)
    deepest = np.concatenate([[1.0], ndimage.maximum(depth, parts, np.arange(1, n_parts + 1))])
    middles, n_lobes = ndimage.label(mask & (depth >= NECK_RATIO * deepest[parts]))
    if n_lobes == 1:
        return np.asarray(parts, dtype=np.int32)
    return np.asarray(watershed(-depth, middles, mask=mask), dtype=np.int32)


def _depth(mask: Mask) -> NDArray[np.float64]:
    """Distance to the outline in pixels; the frame's edge is none: what it cuts goes on."""
    padded = np.pad(mask, 1, mode="edge")
    return np.asarray(ndimage.distance_transform_edt(padded)[1:-1, 1:-1], dtype=np.float64)


def _has_rivals(lobes: NDArray[np.int32]) -> bool:
    """Whether the two largest lobes are alike, lie far apart and are nearly all that there is."""
    areas = np.bincount(lobes.ravel())[1:]
    order = np.argsort(-areas, kind="stable")
    if areas.size < 2 or areas[order[1]] < RIVAL_SHARE * areas[order[0]]:
        return False
    first, second = (_centroid(lobes == lobe + 1) for lobe in order[:2])
    apart = distance_fraction(first, second, *lobes.shape[::-1])
    elsewhere = float(areas[order[2:]].sum() / areas.sum())
    return apart > RIVAL_DISTANCE and elsewhere < RIVAL_ELSEWHERE_SHARE


def _is_one_of_many(
    lobes: NDArray[np.int32],
    subject_map: NDArray[np.float32],
    elements_map: NDArray[np.float32],
) -> bool:
    """Whether the frame is full of things like the main lobe, and that is not plainly meant."""
    main = lobes == np.argmax(np.bincount(lobes.ravel())[1:]) + 1
    if main.mean() * N_PATTERN > ALIKE_RATIO:
        return False  # so many would not fit into the frame
    things = _lobes((elements_map >= SUBJECT_PROBABILITY) | main)
    sizes = np.bincount(things.ravel())
    size = sizes[np.argmax(np.bincount(things[main]))]
    alike = (sizes * ALIKE_RATIO >= size) & (sizes <= size * ALIKE_RATIO)
    alike[0] = False
    pattern = alike[things]
    region = describe_mask(pattern)
    if region is None or alike.sum() < N_PATTERN or region.bbox.area_fraction < PATTERN_SPAN:
        return False
    others = subject_map[pattern & ~main].mean()
    return bool(others >= SUBJECT_PROBABILITY or subject_map[main].mean() <= SURE_PROBABILITY)


def _centroid(mask: Mask) -> Point:
    x, y = _grid(mask.shape)
    total = int(mask.sum())
    return Point(float((mask * x).sum()) / total, float((mask * y).sum()) / total)


def _grid(shape: tuple[int, ...]) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Position in the frame of each pixel's centre: x (1, w) and y (h, 1)."""
    height, width = shape
    x, y = (np.arange(width) + 0.5) / width, (np.arange(height) + 0.5) / height
    return x[np.newaxis], y[:, np.newaxis]


def _distance(shape: tuple[int, ...], point: Point) -> NDArray[np.float64]:
    """Distance of each pixel from a position, in pixels."""
    height, width = shape
    x, y = _grid(shape)
    return np.asarray(np.hypot((x - point.x) * width, (y - point.y) * height))


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
    away = _distance(subject_map.shape, point)
    return np.asarray(away <= POINT_RADIUS * math.hypot(width, height), dtype=np.bool_)
