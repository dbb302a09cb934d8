"""Find the crop that brings a picture nearest to its plan."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

import numpy as np

from auditor.comparison.compare import compare
from auditor.comparison.item import ComparedItem, Verdict
from auditor.geometry import Box, Point, Region
from auditor.measurements.measured_photograph import MeasuredPhotograph
from auditor.measurements.technique_fit import fit_techniques, fit_triangle
from auditor.plan.shot_plan import Intent, Shot, Tolerances
from auditor.vocabulary.techniques import SYMMETRY, TRIANGLE

# Quantities that a crop changes and that are known afterwards without measuring again.
CROPPED_QUANTITIES = ("subject", "subject_size", "technique", "aspect_ratio")
# Less than half of each side leaves too few pixels to deliver (common practice, no source). The
# steps are finer than a crop by eye.
LEAST_SIDE_FRACTION = 0.5
SIDE_STEP = 0.02
# A crop may touch the subject's box but not cut into it. This is the error of an estimated box, as
# a fraction of the frame's side (a choice, no source).
BOX_SLACK = 0.01
# A crop that keeps more of the frame than this removes nothing that anyone would see (common
# practice, no source).
LARGEST_KEPT_FRACTION = 0.985

_TO_CORRECT = (Verdict.MISSED, Verdict.CLOSE)


@dataclass(frozen=True, slots=True)
class Crop:
    """A rectangle to keep, and the quantities that would then be as planned."""

    box: Box
    reaches: tuple[str, ...]


def best_crop(
    measured: MeasuredPhotograph,
    shot: Shot,
    items: Sequence[ComparedItem],
    tolerances: Tolerances,
) -> Crop | None:
    """Find the largest crop that corrects the most missed items and keeps all that are met.

    Returns
    -------
    Crop or None
        None if no item that a crop can change was missed, or if no crop corrects one.
    """
    before = _verdicts(items)
    wanted = [name for name, verdict in before.items() if verdict in _TO_CORRECT]
    if not wanted or measured.subject.value is None:
        return None
    kept = [name for name, verdict in before.items() if verdict == Verdict.MET]
    best: Crop | None = None
    for box in _candidates(measured, shot.intent):
        after = _verdicts(compare(shot, cropped(measured, box), tolerances))
        if any(after.get(name) != Verdict.MET for name in kept):
            continue
        reaches = tuple(name for name in wanted if after.get(name) == Verdict.MET)
        if len(reaches) > (len(best.reaches) if best else 0):
            best = Crop(box, reaches)
    return best


def cropped(measured: MeasuredPhotograph, box: Box) -> MeasuredPhotograph:
    """Predict what would be measured of subject, elements and frame after a crop to `box`."""
    width = (box.right - box.left) * measured.width
    height = (box.bottom - box.top) * measured.height
    subject = measured.subject
    if subject.value is not None:
        subject = replace(subject, value=_region_in(subject.value, box))
    elements = tuple(
        replace(element, value=_region_in(element.value, box))
        for element in measured.elements
        if element.value is not None and _contains_point(box, element.value.centroid)
    )
    fit = (
        fit_techniques(subject.value.centroid, round(width), round(height))
        if subject.value is not None
        else {}
    )
    # Whether the rest is symmetrical is unknown without its pixels.
    fit.pop(SYMMETRY, None)
    triangle = fit_triangle(subject, elements, round(width), round(height))
    if triangle is not None:
        fit[TRIANGLE] = triangle
    return replace(
        measured,
        width=round(width),
        height=round(height),
        subject=subject,
        elements=elements,
        technique_fit=fit,
    )


def _verdicts(items: Sequence[ComparedItem]) -> dict[str, Verdict]:
    return {item.quantity: item.verdict for item in items if item.quantity in CROPPED_QUANTITIES}


def _candidates(measured: MeasuredPhotograph, intent: Intent) -> Iterator[Box]:
    """Yield crops that put the subject at its planned place, from largest to smallest."""
    subject = measured.subject.value
    if subject is None:
        return
    ratio = measured.width / measured.height
    aspect = ratio if intent.aspect_ratio is None else intent.aspect_ratio.nearest(ratio)
    full_width = min(1.0, aspect * measured.height / measured.width)
    full_height = min(1.0, measured.width / (aspect * measured.height))
    for scale in np.arange(1.0, LEAST_SIDE_FRACTION - SIDE_STEP / 2, -SIDE_STEP):
        width, height = full_width * float(scale), full_height * float(scale)
        for target in _targets(subject, measured, intent):
            left = min(max(subject.centroid.x - target.x * width, 0.0), 1 - width)
            top = min(max(subject.centroid.y - target.y * height, 0.0), 1 - height)
            box = Box(left, top, left + width, top + height)
            if box.area_fraction <= LARGEST_KEPT_FRACTION and _contains(box, subject.bbox):
                yield box


def _targets(subject: Region, measured: MeasuredPhotograph, intent: Intent) -> tuple[Point, ...]:
    planned = intent.subject
    if planned is not None and planned.zone is not None:
        return (planned.zone.nearest(subject.centroid, measured.width, measured.height),)
    if planned is not None and planned.at is not None:
        return (planned.at,)
    points = (
        measured.technique_fit[one].point
        for one in intent.techniques
        if one in measured.technique_fit
    )
    return tuple(points) or (subject.centroid,)


def _contains(box: Box, inner: Box) -> bool:
    """Whether the subject's box stays whole."""
    return (
        (box.left <= inner.left + BOX_SLACK)
        and (box.top <= inner.top + BOX_SLACK)
        and (box.right >= inner.right - BOX_SLACK)
        and (box.bottom >= inner.bottom - BOX_SLACK)
    )


def _contains_point(box: Box, point: Point) -> bool:
    return box.left <= point.x <= box.right and box.top <= point.y <= box.bottom


def _region_in(region: Region, box: Box) -> Region:
    width, height = box.right - box.left, box.bottom - box.top

    def across(x: float) -> float:
        return min(max((x - box.left) / width, 0.0), 1.0)

    def down(y: float) -> float:
        return min(max((y - box.top) / height, 0.0), 1.0)

    inner = region.bbox
    return Region(
        Point(across(region.centroid.x), down(region.centroid.y)),
        Box(across(inner.left), down(inner.top), across(inner.right), down(inner.bottom)),
        min(1.0, region.area_fraction / box.area_fraction),
    )
