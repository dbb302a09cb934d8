"""The things drawn in a frame, each as a part of the labelled ink."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.ndimage import binary_dilation, distance_transform_edt, label
from skimage.filters import apply_hysteresis_threshold
from skimage.segmentation import watershed

from auditor.geometry import Moments, describe_mask, moments_of
from auditor.sketch.drawn import DrawnThing, Shape
from auditor.sketch.ink_network import LabelledInk

Mask = NDArray[np.bool_]

# A label is there from even odds on; a thing extends to where it is a third as likely. This and the
# sizes below were chosen on 68 drawn frames of the family `choosing` (`fixtures.sketching`).
EVEN, FAINT = 0.5, 0.3
LEAST_FRACTION = 0.0022  # of the frame: smaller ones are remains
# Two cores part a thing if each has so many px, and the smaller so much of the larger.
LEAST_CORE_PX, LEAST_CORE_SHARE = 4, 0.12
# A piece up to this size, and smaller than what lies within so many px, belongs to it: prongs of a
# fork, a leaf's stalk.
PIECE_PX, PIECE_SHARE, JOIN_PX = 90, 0.9, 3
EVERYWHERE = np.ones((3, 3))  # pixels touch at their corners, too
# From this overlap with an ellipse on, an outline is an oval, whatever it is taken to be (a square
# has 0.86 by geometry, an oval drawn by hand 0.95 and more).
LEAST_ELLIPSE_OVERLAP = 0.95
# A level oval flatter than this says itself how flat circles are: few of those that the network
# learned from were flatter than half.
FLAT, LEVEL_DEG = 0.45, 15.0
_SHAPES = {Shape.OVAL: "oval", Shape.SIDE_VIEW: "side view", Shape.CLOTH: "cloth"}


@dataclass(frozen=True, slots=True, eq=False)
class LabelledThing:
    """A thing and what its labels say.

    Attributes
    ----------
    drawn : DrawnThing
    n_px : int
    subject_weight : float
        Sum of the probability that it is the subject, over its pixels.
    shows_angle : float
        Probability that it shows from how high the camera looks.
    squash : float
        Minor over major axis of a circle on the table.
    """

    drawn: DrawnThing
    n_px: int
    subject_weight: float
    shows_angle: float
    squash: float


def find_things(labels: LabelledInk) -> Iterator[LabelledThing]:
    """Find the things within the frame."""
    for region in _regions(labels):
        described = describe_mask(region[labels.frame])
        if described is None or described.area_fraction < LEAST_FRACTION:
            continue
        shape, ratio, angle_deg = _shape(region, labels)
        found = np.maximum(labels["subject"], labels["supporting"])[region]
        squash = float(labels["squash"][region].mean())
        if ratio is not None and ratio < FLAT and abs(angle_deg or 0.0) < LEVEL_DEG:
            squash = ratio
        yield LabelledThing(
            DrawnThing(
                described.centroid,
                described.bbox,
                described.area_fraction,
                shape,
                ratio,
                angle_deg,
                float(found.mean()),
            ),
            int(region.sum()),
            float(labels["subject"][region].sum()),
            float(labels["shows angle"][region].mean()),
            squash,
        )


def _shape(region: Mask, labels: LabelledInk) -> tuple[Shape, float | None, float | None]:
    """Its kind and, for an oval, its axis ratio and the direction of its longer axis."""
    rows, columns = region.nonzero()
    moments = moments_of(columns, rows)
    likely = {shape: float(labels[name][region].mean()) for shape, name in _SHAPES.items()}
    shape = max(likely, key=lambda one: likely[one])
    if _ellipse_overlap(region, moments) >= LEAST_ELLIPSE_OVERLAP:
        shape = Shape.OVAL
    elif likely[shape] <= EVEN:
        shape = Shape.OTHER
    if shape is not Shape.OVAL:
        return shape, None, None
    return shape, 1 / moments.elongation, moments.axis_deg


def _ellipse_overlap(region: Mask, moments: Moments) -> float:
    """Area in common with the ellipse of the same moments, over that of both together."""
    rows, columns = np.indices(region.shape)
    x, y = columns - moments.middle[0], rows - moments.middle[1]
    along = x * moments.direction[0] + y * moments.direction[1]
    across = y * moments.direction[0] - x * moments.direction[1]
    # The semi-axes of an ellipse are twice the standard deviations of its area.
    ellipse = (along / (2 * moments.long)) ** 2 + (across / (2 * moments.short)) ** 2 <= 1
    return float((region & ellipse).sum() / max(1, (region | ellipse).sum()))


def _regions(labels: LabelledInk) -> list[Mask]:
    """The things as masks that do not overlap."""
    found = np.maximum(labels["subject"], labels["supporting"])
    inside = np.zeros(found.shape, np.bool_)
    inside[labels.frame] = True
    likely = apply_hysteresis_threshold(found, FAINT, EVEN) & inside
    is_subject = labels["subject"] > labels["supporting"]
    core = labels["core"] > EVEN
    parts = [part for side in (is_subject, ~is_subject) for part in _split(likely & side, core)]
    return _joined(parts, labels)


def _split(mask: Mask, core: Mask) -> list[Mask]:
    """The parts of a mask; two things that touch are parted between their cores."""
    connected, n = label(mask, EVERYWHERE)
    found = []
    for k in range(1, n + 1):
        part = connected == k
        cores, m = label(core & part, EVERYWHERE)
        sizes = np.bincount(cores.ravel(), minlength=m + 1)[1:]
        least = max(LEAST_CORE_PX, LEAST_CORE_SHARE * sizes.max(initial=0))
        large = np.flatnonzero(sizes >= least) + 1
        if large.size < 2:
            found.append(part)
            continue
        markers = np.where(np.isin(cores, large), cores, 0)
        regions = watershed(-distance_transform_edt(part), markers, mask=part)
        found += [regions == k for k in large]
    return found


def _joined(parts: list[Mask], labels: LabelledInk) -> list[Mask]:
    """Join pieces of one thing: small ones beside another, and all parts of the subject."""
    kept: list[Mask] = []
    for part in sorted(parts, key=lambda one: -int(one.sum())):
        near = binary_dilation(part, iterations=JOIN_PX)
        hosts = (k for k, host in enumerate(kept) if (near & host).any())
        host = next((k for k in hosts if _belongs(part, kept[k], labels)), None)
        if host is None:
            kept.append(part)
        else:
            kept[host] = kept[host] | part
    return kept


def _belongs(part: Mask, host: Mask, labels: LabelledInk) -> bool:
    is_subject = _is_subject(part, labels)
    if is_subject != _is_subject(host, labels):
        return False
    n_px = int(part.sum())
    return is_subject or (n_px < PIECE_PX and n_px < PIECE_SHARE * int(host.sum()))


def _is_subject(region: Mask, labels: LabelledInk) -> bool:
    return float(labels["subject"][region].mean()) > float(labels["supporting"][region].mean())
