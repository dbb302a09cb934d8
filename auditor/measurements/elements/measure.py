"""The supporting elements among the things in the frame, and their confidence."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy import ndimage

from auditor.geometry import Box, Region, describe_mask
from auditor.measurements.elements.grouping import CONTACT_PX, PartGrouper
from auditor.measurements.elements.rods import with_whole_rods
from auditor.measurements.elements.splitting import split
from auditor.quantity import Quantity
from auditor.saliency.finder import SubjectMaps

TOLERANCE = 0.05  # of the centroid, as a fraction of the diagonal; as for the subject
# Factor of the confidence, which was fitted mostly on rendered tables. With the finder before this
# one, of 120 elements found on 95 photographs of dishes by many hands 49 % lay near a thing that a
# viewer had listed, where the confidence was 0.64; viewers do not list everything.
PHOTOGRAPH_TRUST = 0.8
SPREAD = 0.02  # of a right reading along each direction; as for the subject
# Least area, of the frame: a leaf or a teaspoon. Smaller things are crumbs or errors. No source.
MIN_AREA_FRACTION = 0.003
# Margin around the subject, of the diagonal, so that its own outline is no element: two pixels of
# the finder's maps.
MARGIN_FRACTION = 0.008

# Fitted with `tests/benchmarks/check_elements.py TABLES --fit`.
THING_PROBABILITY = 0.4  # from which a pixel may be part of a thing
MIN_CONFIDENCE = 0.5  # below which a candidate is more likely no thing and is left out
# The same where it continues a part that is surer: the handle of a spoon. Chosen on 60 rendered
# tables of the family `teaching-thin`.
FAINT_PROBABILITY = 0.15

# Chosen on food pictures and drawn scenes; no other source.
ALIKE_SIZE_RATIO = 0.5  # least ratio of areas within a kind: a rear piece is at most half hidden
UNDERNEATH_CONTACT = 0.5  # share of the subject's surroundings above which a thing lies under it
FRONT_CONTACT = 0.25  # the same for a thing that also extends beyond it in front and on both sides
LEAK_SHARE = 0.5  # share of a thing inside the subject's mask below which the mask has leaked
CORE_PROBABILITY = 0.5  # above which a pixel is the core of a thing

# Confidence: the probability that an element exists (boxes overlap by half) and that its centroid
# is within `TOLERANCE`. A logistic function of `element_cues`, fitted (ridge 0.03) on 521
# candidates of 200 rendered tables of the family `teaching-thin`, none of which taught the finder,
# and of 87 photographs marked by hand, which did; right 0.68 of them.
CONFIDENCE_BIAS = -4.48
CONFIDENCE_WEIGHTS = (4.47, 2.17, -0.10, 0.79)
CORE_PERCENTILE = 90  # of the map of cores over an element: its peak without stray pixels

Mask = NDArray[np.bool_]
Labels = NDArray[np.int32]


@dataclass(frozen=True, slots=True)
class FoundElements:
    """Supporting elements, largest first.

    Attributes
    ----------
    regions : tuple of Quantity of Region
        The tolerance is that of the centroid, as a fraction of the frame's diagonal.
    labels : (h, w) int32 array
        n on the n-th element, counted from 1; 0 elsewhere, the subject included.
    """

    regions: tuple[Quantity[Region], ...]
    labels: Labels


def measure_elements(
    maps: SubjectMaps, subject_mask: Mask, pixels: NDArray[np.uint8]
) -> FoundElements:
    """Find the supporting elements.

    Parameters
    ----------
    maps : SubjectMaps
        (h, w) with square pixels, covering the frame.
    subject_mask : (h, w) bool array
        All False if there is no subject. An element may extend into it where the mask has leaked
        onto the element.
    pixels : (H, W, 3) uint8 array
        sRGB, of the same frame; their colours show which pieces are of one kind.

    Returns
    -------
    FoundElements
        Empty if there are none.
    """
    parts = _parts(maps, subject_mask, pixels)
    sizes = np.bincount(parts.ravel())
    labels = np.zeros(parts.shape, dtype=np.int32)
    regions: list[Quantity[Region]] = []
    for part in (np.argsort(-sizes[1:], kind="stable") + 1).tolist():
        if sizes[part] < MIN_AREA_FRACTION * parts.size:
            break
        mask = parts == part
        region = describe_mask(mask)
        confidence = _confidence(element_cues(maps, mask))
        if region is not None and confidence >= MIN_CONFIDENCE:
            regions.append(
                Quantity.measured(
                    region,
                    confidence=PHOTOGRAPH_TRUST * confidence,
                    tolerance=TOLERANCE,
                    spread=SPREAD,
                    dimensions=2,
                )
            )
            labels[mask] = len(regions)
    return FoundElements(tuple(regions), labels)


def element_cues(maps: SubjectMaps, mask: Mask) -> tuple[float, float, float, float]:
    """Compute the cues that distinguish a thing from a fragment.

    Parameters
    ----------
    maps : SubjectMaps
    mask : (h, w) bool array
        Of the candidate; not empty.

    Returns
    -------
    tuple of four floats
        Mean probability of a thing; peak of the map of cores; raggedness, the length of the outline
        without the frame's edge over the root of the area (about 3 for a disc), relative to that of
        a rectangle as long; natural logarithm of the length over the width.
    """
    region = describe_mask(mask)
    elongation = max(1.0, (region.elongation if region is not None else None) or 1.0)
    wide = np.pad(mask, 1, mode="edge")
    inner = wide[:-2, 1:-1] & wide[2:, 1:-1] & wide[1:-1, :-2] & wide[1:-1, 2:]
    outline = np.count_nonzero(mask & ~inner)
    return (
        float(maps.elements[mask].mean()),
        float(np.percentile(maps.cores[mask], CORE_PERCENTILE)),
        outline / math.sqrt(np.count_nonzero(mask)) * 2 / (elongation**0.5 + elongation**-0.5),
        math.log(elongation),
    )


def _confidence(cues: tuple[float, float, float, float]) -> float:
    score = CONFIDENCE_BIAS + sum(w * c for w, c in zip(CONFIDENCE_WEIGHTS, cues, strict=True))
    return 1 / (1 + math.exp(-score))


def _parts(maps: SubjectMaps, subject_mask: Mask, pixels: NDArray[np.uint8]) -> Labels:
    """Label the things that are neither the subject nor under it."""
    diagonal = math.hypot(*subject_mask.shape)
    reach = round(MARGIN_FRACTION * diagonal)
    things = _things(maps.elements, reach)
    away = _distance_from(subject_mask)
    widened = away <= reach
    near = ~widened & (away <= reach + CONTACT_PX)
    outside = _without_rims(things & ~widened, near, reach)
    parts = with_whole_rods(split(outside, maps.cores, diagonal), outside, diagonal)
    if not parts[near].any():
        return PartGrouper(pixels, parts).group(parts, min_size_ratio=ALIKE_SIZE_RATIO)
    whole = split(things | subject_mask, maps.cores, diagonal)
    parts = _without_leaks(parts, whole, subject_mask, maps.cores)
    grouper = PartGrouper(pixels, parts)
    # A cloth is of one kind, whatever the sizes of the pieces that it was split into.
    underneath = _underneath(grouper.group(parts, min_size_ratio=0), near, subject_mask)
    return grouper.group(np.where(underneath, 0, parts), min_size_ratio=ALIKE_SIZE_RATIO)


def _things(probabilities: NDArray[np.float32], reach: int) -> Mask:
    """Mask of the things, with the narrow parts that fainter pixels continue.

    A faint part wider than `reach` on both sides is a shadow or a halo.
    """
    sure = probabilities >= THING_PROBABILITY
    parts, n_parts = ndimage.label(probabilities > FAINT_PROBABILITY)
    has_sure = np.zeros(n_parts + 1, dtype=np.bool_)
    has_sure[parts[sure]] = True
    faint = has_sure[parts] & ~sure
    side = 2 * reach + 1
    # The opening by a square, as minimum and maximum, which work on rows and columns in turn.
    inner = ndimage.minimum_filter(faint.astype(np.uint8), side, mode="constant", cval=0)
    wide = ndimage.maximum_filter(inner, side, mode="constant", cval=0) > 0
    return np.asarray(sure | (faint & ~wide), dtype=np.bool_)


def _without_leaks(
    parts: Labels, whole: Labels, subject_mask: Mask, cores: NDArray[np.float32]
) -> Labels:
    """Extend parts into the subject's mask where it has leaked onto them.

    The mask has leaked where it covers the smaller share of a thing, but some of its core.

    Parameters
    ----------
    parts : (h, w) int32 array
        Labels of the things outside the subject's mask.
    whole : (h, w) int32 array
        Labels of the things when the mask is ignored.
    subject_mask : (h, w) bool array
    cores : (h, w) float32 array
    """
    labels, things = np.arange(int(parts.max()) + 1), np.arange(int(whole.max()) + 1)
    pairs = np.bincount((parts * things.size + whole).ravel(), minlength=labels.size * things.size)
    shared = pairs.reshape(labels.size, things.size)
    inside = np.bincount(whole[subject_mask], minlength=things.size)
    covered = inside / np.maximum(np.bincount(whole.ravel()), 1)
    covered_core = np.zeros(things.size, dtype=np.float32)
    np.maximum.at(covered_core, whole[subject_mask], cores[subject_mask])
    extended = parts.copy()
    for part, thing in enumerate(shared.argmax(axis=1).tolist()):
        if part and covered[thing] < LEAK_SHARE and covered_core[thing] > CORE_PROBABILITY:
            extended[(whole == thing) & (subject_mask | (parts == part))] = part
    return extended


def _underneath(kinds: Labels, near: Mask, subject_mask: Mask) -> Mask:
    """Mask of what the subject stands on: around most of it, or in front and on both sides.

    `near` is the mask of the subject's surroundings.
    """
    subject = describe_mask(subject_mask)
    contact = np.bincount(kinds[near]) / np.count_nonzero(near)
    underneath = np.zeros(kinds.shape, dtype=np.bool_)
    for kind in (np.flatnonzero(contact[1:] > FRONT_CONTACT) + 1).tolist():
        mask = kinds == kind
        region = describe_mask(mask)
        if subject is None or region is None:
            continue
        if contact[kind] > UNDERNEATH_CONTACT or _extends_beyond(region.bbox, subject.bbox):
            underneath |= mask
    return underneath


def _extends_beyond(box: Box, subject: Box) -> bool:
    """True if a box extends beyond the subject's in front of it and on both sides."""
    return box.left < subject.left and box.right > subject.right and box.bottom > subject.bottom


def _distance_from(mask: Mask) -> NDArray[np.int32]:
    """Distance along rows and columns from each pixel to the mask, px."""
    if not mask.any():
        return np.full(mask.shape, sum(mask.shape), dtype=np.int32)
    return np.asarray(ndimage.distance_transform_cdt(~mask, metric="taxicab"), dtype=np.int32)


def _without_rims(mask: Mask, near: Mask, reach: int) -> Mask:
    """Remove the parts that touch the subject and are nowhere wider than the margin.

    `near` is the mask of the subject's surroundings, `reach` the margin in px.
    """
    if not reach or not mask[near].any():
        return mask
    parts, n_parts = ndimage.label(mask)
    continued = np.pad(mask, reach, mode="edge")  # beyond the edge of the frame
    wide = _distance_from(~continued)[reach:-reach, reach:-reach] > reach
    kept = np.ones(n_parts + 1, dtype=np.bool_)
    kept[parts[mask & near]] = False
    kept[parts[wide]] = True
    kept[0] = False
    return np.asarray(kept[parts], dtype=np.bool_)
