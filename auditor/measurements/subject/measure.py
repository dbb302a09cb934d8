"""The subject estimated from the finder's maps.

The map is cut at half of its peak. A subject may have several parts (cakes on a stand). Two similar
things far apart are rivals, whether their masks touch or not, and leave the subject undetermined.
One of many similar things all over the frame, or a mask that fills the frame, is no subject.

Thresholds "from the food pictures" were chosen by eye on 167 finished photographs of dishes and on
the drawn frames of the tests; their last digit is not measured.
"""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import NDArray
from scipy import ndimage

from auditor.geometry import describe_mask, distance_fraction
from auditor.measurements.subject.found import (
    TOLERANCE,
    FoundSubject,
    found_subject,
    no_subject,
)
from auditor.measurements.subject.silhouette import (
    Labels,
    Mask,
    Silhouette,
    centroid,
    distance_px,
    filled,
)
from auditor.reasons import Reason

THING_PROBABILITY = 0.5  # a thing is more likely there than not
CUT_SHARE = 0.5  # of the map's peak, which is near 1 if the finder is confident
WEAK_PROBABILITY = 0.25  # a map that stays below odds of one to three has no subject; no source
MIN_SHARE = 0.001  # of the frame, in weight of the map: less is a speck; no source
PART_SHARE = 0.15  # of the main part's weight; less is a stray spot. From the food pictures
RIVAL_SHARE = 0.6  # of the main lobe's area: equals, one a little nearer to the camera; no source
# Between centroids, fraction of the diagonal: too far for one group. From the food pictures; two
# plates side by side that fill the frame lie 0.4 apart.
RIVAL_DISTANCE = 0.3
# Of the area, in other lobes: with more, the lobes form a group. From the food pictures.
RIVAL_ELSEWHERE_SHARE = 0.15
ALIKE_RATIO = 1.6  # between the areas of two things of one kind: the inverse of `RIVAL_SHARE`
N_PATTERN = 6  # similar things: up to five are counted one by one, more are a pattern (no source)
# Of the frame, in the box around them: things all over it, not a group. Common practice, no source.
PATTERN_SPAN = 0.6
# Mean of the map within the one of many that is clearly the subject. From the food pictures.
SURE_PROBABILITY = 0.9
FULL_SHARE = 0.98  # of the frame: a mask that fills it except for a soft edge is no subject

# Probability that the centroid is within `TOLERANCE`: a logistic function of `confidence_cues` with
# a ridge, fitted by tests/benchmarks/fit_subject_confidence.py on validation photographs and
# rendered tables with equal total weight; saliency/MODEL.md gives its calibration.
CONFIDENCE_BIAS = -3.12
CONFIDENCE_WEIGHTS = (-1.92, -0.28, -1.79)
# A subject that is most likely misplaced is not reported: a blank wall, a bed of beans. A
# judgement; the same script prints how many right answers it costs.
MIN_CONFIDENCE = 0.2
CORE_DEPTH_RATIO = 0.35  # of the mask's greatest depth: the core is deeper; no source
CUE_FLOOR = 0.05  # in tolerances or bits: less is noise, and its logarithm would be meaningless


def measure_subject(
    subject_map: NDArray[np.float32], elements_map: NDArray[np.float32]
) -> FoundSubject:
    """Estimate the subject from the finder's maps.

    Parameters
    ----------
    subject_map, elements_map : (h, w) float32 arrays
        In [0, 1], square pixels.

    Returns
    -------
    FoundSubject
        Undetermined with `NO_SUBJECT` or `COMPETING_SUBJECTS`.
    """
    silhouette = subject_silhouette(subject_map, elements_map)
    if isinstance(silhouette, Reason):
        return no_subject(subject_map.shape, silhouette)
    confidence = map_confidence(subject_map, silhouette)
    if confidence < MIN_CONFIDENCE:
        return no_subject(subject_map.shape, Reason.NO_SUBJECT)
    return found_subject(silhouette.mask, confidence)


def subject_silhouette(
    subject_map: NDArray[np.float32], elements_map: NDArray[np.float32]
) -> Silhouette | Reason:
    """Silhouette of the subject in the maps, whatever its confidence; or why there is none."""
    mask = _cut(subject_map)
    if mask is None or mask.mean() > FULL_SHARE:
        return Reason.NO_SUBJECT
    silhouette = Silhouette(mask)
    if _is_one_of_many(silhouette.lobes, subject_map, elements_map):
        return Reason.NO_SUBJECT
    return Reason.COMPETING_SUBJECTS if has_rivals(silhouette.lobes) else silhouette


def map_confidence(subject_map: NDArray[np.float32], silhouette: Silhouette) -> float:
    """Probability that the centroid of a mask cut from a map is within `TOLERANCE`."""
    cues = confidence_cues(subject_map, silhouette)
    score = CONFIDENCE_BIAS + sum(w * c for w, c in zip(CONFIDENCE_WEIGHTS, cues, strict=True))
    return 1 / (1 + math.exp(-score))


def confidence_cues(
    subject_map: NDArray[np.float32], silhouette: Silhouette
) -> tuple[float, float, float]:
    """Cues from which the confidence is predicted.

    Returns
    -------
    tuple of three floats
        Logarithms of: leverage, how far the uncertain pixels can shift the centroid (variance of
        each times its distance, over the map's weight, in units of `TOLERANCE`); core shift, the
        distance between the centroids of the mask and of its inner part, in the same unit; doubt,
        the map's binary entropy within the mask, in bits per pixel.
    """
    mask, depth = silhouette.mask, silhouette.depth
    p = np.clip(subject_map.astype(np.float64), 1e-6, 1 - 1e-6)
    inside, middle = p[mask], centroid(mask)
    away = distance_px(mask.shape, middle) / (TOLERANCE * math.hypot(*mask.shape))
    leverage = float((p * (1 - p) * away).sum() / p.sum())
    core = centroid(depth > CORE_DEPTH_RATIO * depth.max())
    shift = distance_fraction(middle, core, *mask.shape[::-1]) / TOLERANCE
    doubt = -float((inside * np.log2(inside) + (1 - inside) * np.log2(1 - inside)).mean())
    return (
        math.log(leverage + CUE_FLOOR),
        math.log(shift + CUE_FLOOR),
        math.log(doubt + CUE_FLOOR),
    )


def has_rivals(lobes: Labels) -> bool:
    """True if the two largest lobes are similar, lie far apart and make up nearly all the area."""
    areas = np.bincount(lobes.ravel())[1:]
    order = np.argsort(-areas, kind="stable")
    if areas.size < 2 or areas[order[1]] < RIVAL_SHARE * areas[order[0]]:
        return False
    first, second = (centroid(lobes == lobe + 1) for lobe in order[:2])
    apart = distance_fraction(first, second, *lobes.shape[::-1])
    elsewhere = float(areas[order[2:]].sum() / areas.sum())
    return apart > RIVAL_DISTANCE and elsewhere < RIVAL_ELSEWHERE_SHARE


def _cut(subject_map: NDArray[np.float32]) -> Mask | None:
    """The map's main part and others of similar weight, holes filled; None if the map is weak."""
    peak = float(subject_map.max())
    if peak < WEAK_PROBABILITY:
        return None
    labels, n_parts = ndimage.label(subject_map >= CUT_SHARE * peak)
    sums = np.bincount(labels.ravel(), weights=subject_map.ravel(), minlength=n_parts + 1)
    sums[0] = 0
    if sums.max() < MIN_SHARE * subject_map.size:
        return None
    return filled((sums >= PART_SHARE * sums.max())[labels])


def _is_one_of_many(
    lobes: Labels, subject_map: NDArray[np.float32], elements_map: NDArray[np.float32]
) -> bool:
    """True if the frame is full of things like the main lobe, and it is not clearly the subject."""
    main = lobes == np.argmax(np.bincount(lobes.ravel())[1:]) + 1
    if main.mean() * N_PATTERN > ALIKE_RATIO:
        return False  # that many would not fit into the frame
    placed = (elements_map >= THING_PROBABILITY) | main
    if not _spans(placed):
        return False
    things = Silhouette(placed).lobes
    sizes = np.bincount(things.ravel())
    size = sizes[np.argmax(np.bincount(things[main]))]
    alike = (sizes * ALIKE_RATIO >= size) & (sizes <= size * ALIKE_RATIO)
    alike[0] = False
    pattern = alike[things]
    if alike.sum() < N_PATTERN or not _spans(pattern):
        return False
    others = subject_map[pattern & ~main].mean()
    return bool(others >= THING_PROBABILITY or subject_map[main].mean() <= SURE_PROBABILITY)


def _spans(mask: Mask) -> bool:
    """True if a mask extends over most of the frame."""
    region = describe_mask(mask)
    return region is not None and region.bbox.area_fraction >= PATTERN_SPAN
