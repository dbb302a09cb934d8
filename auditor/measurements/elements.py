"""The supporting elements: the other things placed in the frame."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy import ndimage
from skimage.segmentation import watershed

from auditor.geometry import Region, describe_mask
from auditor.quantity import Quantity

TOLERANCE = 0.05  # fraction of the diagonal, as for the subject
# The maps draw things a little too large: of 0.5 to 0.8 this fitted 29 rendered tables best.
THING_PROBABILITY = 0.7
MARGIN_FRACTION = 0.008  # of the diagonal: the subject's own outline is not an element
LEAST_SHARE = 0.003  # of the frame: a leaf or a teaspoon; what is smaller is a crumb or an error
NECK_RATIO = 0.65  # things touch where the bridge is narrower than this share of the narrower one
PEAK_REACH_FRACTION = 0.02  # of the diagonal: the middles of two things are further apart
DEPTH_SIGMA_FRACTION = 0.004  # of the diagonal: smooths ragged outlines before they are read

# Probability that an element lies within `TOLERANCE` of a thing that is there: a logistic of the
# cues below with a ridge of 0.03, fitted on the elements of 58 rendered tables that the networks
# had not learnt from. Cross-validated in six parts by picture its expected calibration error is
# 0.05 (right 0.83).
CONFIDENCE_BIAS = -14.82
CONFIDENCE_WEIGHTS = (17.43, -14.31)


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
    labels: NDArray[np.int32]


def measure_elements(
    elements_map: NDArray[np.float32], subject_mask: NDArray[np.bool_]
) -> FoundElements:
    """Split what is not the subject into elements (both arrays (h, w), covering the frame)."""
    diagonal = math.hypot(*elements_map.shape)
    reach = round(MARGIN_FRACTION * diagonal)
    subject = ndimage.binary_dilation(subject_mask, iterations=reach) if reach else subject_mask
    parts = _split(_opened((elements_map >= THING_PROBABILITY) & ~subject, reach), diagonal)
    sizes = np.bincount(parts.ravel(), minlength=1)
    sizes[0] = 0
    large = [
        int(k) for k in np.argsort(-sizes, kind="stable") if sizes[k] >= LEAST_SHARE * parts.size
    ]
    labels = np.zeros(elements_map.shape, dtype=np.int32)
    regions: list[Quantity[Region]] = []
    for part in large:
        mask = parts == part
        region = describe_mask(mask)
        if region is not None:
            labels[mask] = len(regions) + 1
            confidence = _confidence(element_cues(elements_map, mask))
            regions.append(Quantity.measured(region, confidence=confidence, tolerance=TOLERANCE))
    return FoundElements(tuple(regions), labels)


def _opened(mask: NDArray[np.bool_], reach: int) -> NDArray[np.bool_]:
    """Drop what is nowhere wider than the margin: rims of the subject and threads."""
    if not reach:
        return mask
    kept = ndimage.binary_opening(np.pad(mask, reach, mode="edge"), iterations=reach)
    core = kept[reach:-reach, reach:-reach]
    return np.asarray(ndimage.binary_propagation(core, mask=mask), dtype=np.bool_)


def element_cues(elements_map: NDArray[np.float32], mask: NDArray[np.bool_]) -> tuple[float, float]:
    """Mean probability of an element, and the share of the frame's edge that it touches."""
    edge = np.concatenate([mask[0], mask[-1], mask[:, 0], mask[:, -1]])
    return float(elements_map[mask].mean()), float(edge.mean())


def _confidence(cues: tuple[float, float]) -> float:
    score = CONFIDENCE_BIAS + sum(w * c for w, c in zip(CONFIDENCE_WEIGHTS, cues, strict=True))
    return 1 / (1 + math.exp(-score))


def _split(mask: NDArray[np.bool_], diagonal: float) -> NDArray[np.int32]:
    """Label the things in a mask; those that touch along a narrow neck apart.

    Watershed of the distance to the outline; basins whose common bridge is nearly as wide as the
    narrower of them are one thing and are joined again. The frame's edge is no outline.
    """
    depth = ndimage.distance_transform_edt(np.pad(mask, 1, mode="edge"))[1:-1, 1:-1]
    depth = ndimage.gaussian_filter(depth, DEPTH_SIGMA_FRACTION * diagonal)
    reach = 2 * round(PEAK_REACH_FRACTION * diagonal) + 1
    peaks = (depth == ndimage.maximum_filter(depth, reach)) & mask
    markers, _ = ndimage.label(peaks, structure=np.ones((3, 3)))
    return _joined(watershed(-depth, markers, mask=mask), depth)


def _joined(basins: NDArray[np.int32], depth: NDArray[np.float64]) -> NDArray[np.int32]:
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


def _bridges(basins: NDArray[np.int32], depth: NDArray[np.float64]) -> list[tuple[float, int, int]]:
    """Depth of the deepest contact of each pair of touching basins, deepest first."""
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
