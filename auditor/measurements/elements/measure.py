"""Which of the things in the frame are supporting elements, and how surely."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy import ndimage

from auditor.geometry import Box, Region, describe_mask
from auditor.measurements.elements.grouping import CONTACT_PX, Kinds
from auditor.measurements.elements.splitting import split
from auditor.quantity import Quantity
from auditor.saliency.finder import SubjectMaps

TOLERANCE = 0.05  # fraction of the diagonal, as for the subject
# Of the frame: a leaf or a teaspoon; what is smaller is a crumb or an error. No source.
LEAST_SHARE = 0.003
# Of the diagonal: the subject's own outline is not an element. Two pixels of the finder's answer.
MARGIN_FRACTION = 0.008

# Both were searched by `tests/benchmarks/check_elements.py TABLES --fit`.
THING_PROBABILITY = 0.4  # of what may be a thing
LEAST_CONFIDENCE = 0.3  # what is less likely a thing is left out

# The following have no source but the food pictures and drawn scenes that were looked at.
ALIKE_SIZE_RATIO = 0.5  # of areas: of two of a kind the one behind is half covered at most
GROUND_CONTACT = 0.5  # of the subject's surroundings: what fills as much lies under it
FRONT_CONTACT = 0.25  # the same of what also reaches past it in front and at both sides
LEAK_SHARE = 0.5  # of a thing: what the subject's mask covers more of is the subject's
CORE_PROBABILITY = 0.5  # more likely the core of a thing than not

# Probability that an element is a thing that is there (boxes overlap by half) with its centroid
# within `TOLERANCE`: a logistic of the cues of `element_cues`, fitted on 238 rendered tables by
# `tests/benchmarks/check_elements.py TABLES --fit` (ridge 0.03). Cross-validated in six parts by
# picture its expected calibration error is 0.03 (20 bins, right 0.89).
CONFIDENCE_BIAS = -3.99
CONFIDENCE_WEIGHTS = (3.38, 4.91, -0.29)
CORE_PERCENTILE = 90  # of the core map over an element: its peak without a stray pixel

Mask = NDArray[np.bool_]
Labels = NDArray[np.int32]


@dataclass(frozen=True, slots=True)
class FoundElements:
    """Supporting elements, largest first.

    Attributes
    ----------
    regions : tuple of Quantity of Region
        Tolerances are distances of the centroid, as fractions of the frame's diagonal.
    labels : (h, w) int32 array
        0 is ground or subject, n the n-th element.
    """

    regions: tuple[Quantity[Region], ...]
    labels: Labels


def measure_elements(
    maps: SubjectMaps, subject_mask: Mask, pixels: NDArray[np.uint8]
) -> FoundElements:
    """Split what is not the subject into elements.

    Parameters
    ----------
    maps : SubjectMaps
        (h, w) with square pixels, covering the frame.
    subject_mask : (h, w) bool array
        All False where there is no subject. An element reaches into it where the subject's mask
        seems to have spilt over.
    pixels : (H, W, 3) uint8 array
        sRGB, of the same frame; says which pieces are of one kind.
    """
    parts = _parts(maps, subject_mask, pixels)
    sizes = np.bincount(parts.ravel())
    labels = np.zeros(parts.shape, dtype=np.int32)
    regions: list[Quantity[Region]] = []
    for part in (np.argsort(-sizes[1:], kind="stable") + 1).tolist():
        if sizes[part] < LEAST_SHARE * parts.size:
            break
        mask = parts == part
        region = describe_mask(mask)
        confidence = _confidence(element_cues(maps, mask))
        if region is not None and confidence >= LEAST_CONFIDENCE:
            regions.append(Quantity.measured(region, confidence=confidence, tolerance=TOLERANCE))
            labels[mask] = len(regions)
    return FoundElements(tuple(regions), labels)


def element_cues(maps: SubjectMaps, mask: Mask) -> tuple[float, float, float]:
    """What tells a thing from a fragment.

    Returns
    -------
    tuple of three floats
        Mean probability of a thing. Peak of the map of cores. Raggedness: length of the outline,
        the frame's edge not counted, over the root of the area (a disc has about 3).
    """
    wide = np.pad(mask, 1, mode="edge")
    inner = wide[:-2, 1:-1] & wide[2:, 1:-1] & wide[1:-1, :-2] & wide[1:-1, 2:]
    outline = np.count_nonzero(mask & ~inner)
    return (
        float(maps.elements[mask].mean()),
        float(np.percentile(maps.cores[mask], CORE_PERCENTILE)),
        outline / math.sqrt(np.count_nonzero(mask)),
    )


def _confidence(cues: tuple[float, float, float]) -> float:
    score = CONFIDENCE_BIAS + sum(w * c for w, c in zip(CONFIDENCE_WEIGHTS, cues, strict=True))
    return 1 / (1 + math.exp(-score))


def _parts(maps: SubjectMaps, subject_mask: Mask, pixels: NDArray[np.uint8]) -> Labels:
    """Label the things that are neither subject nor ground."""
    diagonal = math.hypot(*subject_mask.shape)
    reach = round(MARGIN_FRACTION * diagonal)
    things = maps.elements >= THING_PROBABILITY
    away = _steps_from(subject_mask)
    widened = away <= reach
    near = ~widened & (away <= reach + CONTACT_PX)
    parts = split(_without_rims(things & ~widened, near, reach), maps.cores, diagonal)
    if not parts[near].any():
        return Kinds(pixels, parts).grouped(parts, least_size_ratio=ALIKE_SIZE_RATIO)
    whole = split(things | subject_mask, maps.cores, diagonal)
    parts = _given_back(parts, whole, subject_mask, maps.cores)
    kinds = Kinds(pixels, parts)
    # However it was split and shaded, a cloth is of one kind.
    ground = _ground(kinds.grouped(parts, least_size_ratio=0), near, subject_mask)
    return kinds.grouped(np.where(ground, 0, parts), least_size_ratio=ALIKE_SIZE_RATIO)


def _given_back(
    parts: Labels, whole: Labels, subject_mask: Mask, cores: NDArray[np.float32]
) -> Labels:
    """Give a thing what the subject's mask took from it.

    Where the mask covers the smaller part of a thing, but some of its core, it has spilt over.
    """
    names, things = np.arange(int(parts.max()) + 1), np.arange(int(whole.max()) + 1)
    pairs = np.bincount((parts * things.size + whole).ravel(), minlength=names.size * things.size)
    shared = pairs.reshape(names.size, things.size)
    inside = np.bincount(whole[subject_mask], minlength=things.size)
    covered = inside / np.maximum(np.bincount(whole.ravel()), 1)
    covered_core = np.zeros(things.size, dtype=np.float32)
    np.maximum.at(covered_core, whole[subject_mask], cores[subject_mask])
    answer = parts.copy()
    for part, thing in enumerate(shared.argmax(axis=1).tolist()):
        if part and covered[thing] < LEAK_SHARE and covered_core[thing] > CORE_PROBABILITY:
            answer[(whole == thing) & (subject_mask | (parts == part))] = part
    return answer


def _ground(kinds: Labels, near: Mask, subject_mask: Mask) -> Mask:
    """What the subject stands on: around most of it, or in front of it and at both sides.

    `near` is where the subject's surroundings are.
    """
    subject = describe_mask(subject_mask)
    contact = np.bincount(kinds[near]) / np.count_nonzero(near)
    ground = np.zeros(kinds.shape, dtype=np.bool_)
    for kind in (np.flatnonzero(contact[1:] > FRONT_CONTACT) + 1).tolist():
        mask = kinds == kind
        region = describe_mask(mask)
        if subject is None or region is None:
            continue
        if contact[kind] > GROUND_CONTACT or _reaches_past(region.bbox, subject.bbox):
            ground |= mask
    return ground


def _reaches_past(ground: Box, subject: Box) -> bool:
    return (
        ground.left < subject.left
        and ground.right > subject.right
        and ground.bottom > subject.bottom
    )


def _steps_from(mask: Mask) -> NDArray[np.int32]:
    """Steps along rows and columns from each pixel to the mask, in pixels."""
    if not mask.any():
        return np.full(mask.shape, sum(mask.shape), dtype=np.int32)
    return np.asarray(ndimage.distance_transform_cdt(~mask, metric="taxicab"), dtype=np.int32)


def _without_rims(mask: Mask, near: Mask, reach: int) -> Mask:
    """Drop what lies at the subject and is nowhere wider than the margin."""
    if not reach or not mask[near].any():
        return mask
    parts, n_parts = ndimage.label(mask)
    goes_on = np.pad(mask, reach, mode="edge")  # past the frame's edge
    wide = _steps_from(~goes_on)[reach:-reach, reach:-reach] > reach
    kept = np.ones(n_parts + 1, dtype=np.bool_)
    kept[parts[mask & near]] = False
    kept[parts[wide]] = True
    kept[0] = False
    return np.asarray(kept[parts], dtype=np.bool_)
