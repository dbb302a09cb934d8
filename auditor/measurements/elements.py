"""The supporting elements: the other things placed in the frame.

The map of placed things is cut where a thing is likely and split by one landscape: the depth below
the outline, higher where the finder sees the core of a thing. Where cores are drawn they tell
touching things apart; where the map of cores is silent the necks of the outline do. Loose pieces
of one kind that touch (a pair of fruit, a heap of biscuits) are one element. What lies under the
subject (a cloth, a board) is ground; what seems no more than a rim or a fragment is left out.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy import ndimage
from skimage.segmentation import watershed

from auditor.colorimetry import lab_from_pixels
from auditor.geometry import Box, Region, describe_mask
from auditor.quantity import Quantity
from auditor.saliency.finder import SubjectMaps

TOLERANCE = 0.05  # fraction of the diagonal, as for the subject
LEAST_SHARE = 0.003  # of the frame: a leaf or a teaspoon; what is smaller is a crumb or an error
MARGIN_FRACTION = 0.008  # of the diagonal: the subject's own outline is not an element
PEAK_REACH_FRACTION = 0.02  # of the diagonal: the middles of two things are further apart
DEPTH_SIGMA_FRACTION = 0.004  # of the diagonal: smooths ragged outlines before they are read
CONTACT_PX = 4  # of the maps, two of the finder's own: things this near touch

# The following were searched by `tests/benchmarks/check_elements.py TABLES --fit`.
THING_PROBABILITY = 0.4  # of what may be a thing
CORE_FLOOR = 0.3  # height of the landscape where there is no core, over that where one is sure
NECK_RATIO = 0.65  # things touch where the bridge is lower than this share of the lower summit
ALIKE_DELTA_E = 6.0  # CIELAB, between mean colours: pieces of one kind in one light
LEAST_CONFIDENCE = 0.3  # what is less likely a thing is left out

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
Floats = NDArray[np.float64]


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
    widened = _widened(subject_mask, reach)
    near = _widened(widened, CONTACT_PX) & ~widened
    parts = _split(_without_rims(things & ~widened, near, reach), maps.cores, diagonal)
    if parts[near].any():
        whole = _split(things | subject_mask, maps.cores, diagonal)
        parts = _given_back(parts, whole, subject_mask, maps.cores)
        # However it was split and shaded, a cloth is of one kind.
        kinds = _grouped(parts, pixels, least_size_ratio=0)
        parts[_ground(kinds, near, subject_mask)] = 0
    return _grouped(parts, pixels, least_size_ratio=ALIKE_SIZE_RATIO)


def _given_back(
    parts: Labels, whole: Labels, subject_mask: Mask, cores: NDArray[np.float32]
) -> Labels:
    """Give a thing what the subject's mask took from it.

    Where the mask covers the smaller part of a thing, but some of its core, it has spilt over.
    """
    names, things = np.arange(int(parts.max()) + 1), np.arange(int(whole.max()) + 1)
    shared = np.zeros((names.size, things.size), dtype=np.int64)
    np.add.at(shared, (parts.ravel(), whole.ravel()), 1)
    inside = np.bincount(whole[subject_mask], minlength=things.size)
    covered = inside / np.maximum(np.bincount(whole.ravel()), 1)
    covered_core = ndimage.maximum(np.where(subject_mask, cores, 0), whole, things)
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


def _grouped(parts: Labels, pixels: NDArray[np.uint8], *, least_size_ratio: float) -> Labels:
    """Give one label to parts that touch and are alike in colour and size."""
    pairs = _touching(parts)
    if not pairs:
        return parts
    height, width = parts.shape
    rows = np.arange(height) * pixels.shape[0] // height
    columns = np.arange(width) * pixels.shape[1] // width
    seen = pixels[rows[:, np.newaxis], columns]
    sizes = np.bincount(parts.ravel())
    colours = {p: lab_from_pixels(seen[parts == p]).mean(axis=0) for pair in pairs for p in pair}
    name = np.arange(sizes.size, dtype=np.int32)
    for a, b in pairs:
        small, large = sorted((int(sizes[a]), int(sizes[b])))
        near = float(np.linalg.norm(colours[a] - colours[b])) < ALIKE_DELTA_E
        if near and small > least_size_ratio * large:
            name[name == name[b]] = name[a]
    return name[parts]


def _touching(parts: Labels) -> list[tuple[int, int]]:
    """Pairs of labels no further apart than `CONTACT_PX`, in order."""
    step = CONTACT_PX
    pairs: set[tuple[int, int]] = set()
    for a, b in ((parts[:, :-step], parts[:, step:]), (parts[:-step], parts[step:])):
        touch = (a != b) & (a > 0) & (b > 0)
        first, second = a[touch], b[touch]
        lower, upper = np.minimum(first, second), np.maximum(first, second)
        pairs |= set(zip(lower.tolist(), upper.tolist(), strict=True))
    return sorted(pairs)


def _widened(mask: Mask, reach: int) -> Mask:
    return ndimage.binary_dilation(mask, iterations=reach) if reach else mask


def _without_rims(mask: Mask, near: Mask, reach: int) -> Mask:
    """Drop what lies at the subject and is nowhere wider than the margin."""
    if not reach or not mask[near].any():
        return mask
    opened = ndimage.binary_opening(np.pad(mask, reach, mode="edge"), iterations=reach)
    wide = opened[reach:-reach, reach:-reach]
    at_subject = ndimage.binary_propagation(mask & near, mask=mask)
    return np.asarray(ndimage.binary_propagation(wide, mask=mask) | mask & ~at_subject)


def _split(mask: Mask, cores: NDArray[np.float32], diagonal: float) -> Labels:
    """Label the things in a mask, those that touch apart.

    Watershed of the depth below the outline, weighted by the cores; basins whose common bridge is
    nearly as high as the lower of their summits are one thing and are joined again. The frame's
    edge is no outline.
    """
    labels = np.zeros(mask.shape, dtype=np.int32)
    sigma = DEPTH_SIGMA_FRACTION * diagonal
    reach = round(PEAK_REACH_FRACTION * diagonal)
    window = _window(mask, margin=reach + math.ceil(4 * sigma))
    if window is None:
        return labels
    mask, cores = mask[window], cores[window]
    depth = ndimage.distance_transform_edt(np.pad(mask, 1, mode="edge"))[1:-1, 1:-1]
    weighted = depth * (CORE_FLOOR + (1 - CORE_FLOOR) * cores)
    height = ndimage.gaussian_filter(weighted, sigma)
    peaks = (height == ndimage.maximum_filter(height, 2 * reach + 1)) & mask
    markers, _ = ndimage.label(peaks, structure=np.ones((3, 3)))
    labels[window] = _joined(watershed(-height, markers, mask=mask), height)
    return labels


def _window(mask: Mask, *, margin: int) -> tuple[slice, slice] | None:
    """The part of the frame that holds a mask, with a margin; None where the mask is empty."""
    rows, columns = np.flatnonzero(mask.any(axis=1)), np.flatnonzero(mask.any(axis=0))
    if rows.size == 0:
        return None
    return (
        slice(max(0, int(rows[0]) - margin), int(rows[-1]) + 1 + margin),
        slice(max(0, int(columns[0]) - margin), int(columns[-1]) + 1 + margin),
    )


def _joined(basins: Labels, depth: Floats) -> Labels:
    """Give one label to basins without a neck between them, widest bridges first."""
    summit = np.zeros(int(basins.max()) + 1)
    np.maximum.at(summit, basins.ravel(), depth.ravel())
    name = np.arange(summit.size, dtype=np.int32)
    for height, a, b in _bridges(basins, depth):
        first, second = name[a], name[b]
        if first != second and height > NECK_RATIO * min(summit[first], summit[second]):
            summit[first] = max(summit[first], summit[second])
            name[name == second] = first
    return name[basins]


def _bridges(basins: Labels, depth: Floats) -> list[tuple[float, int, int]]:
    """Height of the highest contact of each pair of touching basins, highest first."""
    found: dict[tuple[int, int], float] = {}
    for here, there in ((np.s_[:, :-1], np.s_[:, 1:]), (np.s_[:-1], np.s_[1:])):
        a, b = basins[here], basins[there]
        touch = (a != b) & (a > 0) & (b > 0)
        heights = np.minimum(depth[here], depth[there])[touch]
        for i, j, height in zip(
            a[touch].tolist(), b[touch].tolist(), heights.tolist(), strict=True
        ):
            pair = (min(i, j), max(i, j))
            found[pair] = max(found.get(pair, 0.0), height)
    return sorted(((height, *pair) for pair, height in found.items()), key=lambda f: (-f[0], f[1:]))
