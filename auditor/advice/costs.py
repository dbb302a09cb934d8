"""What a correction takes from a picture."""

from __future__ import annotations

from collections.abc import Iterator

from auditor.advice.advice import Cost, CostKind
from auditor.advice.case import Case
from auditor.corrections import WHOLE_FRAME, Change
from auditor.corrections.turning import turned_point
from auditor.geometry import Box
from auditor.measurements.measured_photograph import MeasuredPhotograph

# An element of which less is cut off was at the new edge anyway: the error of an estimated box (our
# choice, no source). Of one with less left nothing remains that anyone would recognise.
LEAST_CUT, MOST_CUT = 0.05, 0.8
# Elements that are less sure are not spoken of (our choice, no source).
LEAST_CONFIDENCE = 0.5
# Clipping that grew by less is not seen (our choice, no source). Unit: share of the frame.
LEAST_CLIPPED = 0.005


def costs_of(
    case: Case, change: Change, after: MeasuredPhotograph, least_sides_px: tuple[int, int] | None
) -> tuple[Cost, ...]:
    """What a change takes from a picture, largest things first.

    Parameters
    ----------
    case : Case
    change : Change
    after : MeasuredPhotograph
        The picture after it.
    least_sides_px : tuple of int or None
        Pixels that the longer and the shorter side must have for the delivery; None if nothing is
        asked.
    """
    return (
        *_frame(change),
        *_elements(case, change),
        *_clipping(case.measured, after),
        *_too_small(case.measured, change, least_sides_px),
    )


def _frame(change: Change) -> Iterator[Cost]:
    if change.crop != WHOLE_FRAME:
        kind = CostKind.CORNERS if change.turn_deg else CostKind.FRAME
        yield Cost(kind, 1 - change.crop.area_fraction)


def _elements(case: Case, change: Change) -> Iterator[Cost]:
    measured = case.measured
    names = {
        item.match.element: item.element
        for item in case.items
        if item.match is not None and item.match.element is not None
    }
    for number, element in enumerate(measured.elements):
        found = element.value
        if found is None or (element.confidence or 0.0) < LEAST_CONFIDENCE:
            continue
        share = _cut_share(found.bbox, change, measured)
        if share >= MOST_CUT:
            yield Cost(CostKind.ELEMENT_LOST, share, names.get(number))
        elif share >= LEAST_CUT:
            yield Cost(CostKind.ELEMENT_CUT, share, names.get(number))


def _cut_share(box: Box, change: Change, measured: MeasuredPhotograph) -> float:
    """Share of a box that lies outside what is kept; the box moves with the turn, upright."""
    before, after = box.centre, box.centre
    if change.turn_deg:
        after = turned_point(before, measured.width, measured.height, change.turn_deg)
    dx, dy = after.x - before.x, after.y - before.y
    crop = change.crop
    inside = Box(
        max(box.left + dx, crop.left),
        max(box.top + dy, crop.top),
        min(box.right + dx, crop.right),
        min(box.bottom + dy, crop.bottom),
    )
    whole = box.area_fraction
    if whole <= 0 or inside.right <= inside.left or inside.bottom <= inside.top:
        return 1.0
    return 1 - inside.area_fraction / whole


def _clipping(before: MeasuredPhotograph, after: MeasuredPhotograph) -> Iterator[Cost]:
    highlights = after.tone.clipped_highlights - before.tone.clipped_highlights
    shadows = after.tone.clipped_shadows - before.tone.clipped_shadows
    if highlights >= LEAST_CLIPPED:
        yield Cost(CostKind.HIGHLIGHTS, highlights)
    if shadows >= LEAST_CLIPPED:
        yield Cost(CostKind.SHADOWS, shadows)


def _too_small(
    measured: MeasuredPhotograph, change: Change, least_sides_px: tuple[int, int] | None
) -> Iterator[Cost]:
    """A side that is too small after the change; one that it leaves as it was costs nothing."""
    before = sorted((measured.width, measured.height), reverse=True)
    after = sorted(change.size_px(measured.width, measured.height), reverse=True)
    for had, side, least in zip(before, after, least_sides_px or (0, 0), strict=True):
        if side < least and side < had:
            yield Cost(CostKind.TOO_SMALL, float(side), limit=float(least))
            return
