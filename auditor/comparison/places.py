"""Places in the frame: subject, its size, supporting elements, technique."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping

from auditor.comparison.assignment import assign_elements
from auditor.comparison.item import ComparedItem, Verdict
from auditor.comparison.verdicts import (
    CLOSE_WITHIN,
    LEAST_CONFIDENCE_OF_WORD,
    MOST_DOUBT_OF_FAULT,
    probability_within,
    standard_deviation,
    verdict_of,
    verdict_on_quantity,
)
from auditor.geometry import Point, Region, distance_fraction
from auditor.measurements.measured_photograph import MeasuredPhotograph
from auditor.measurements.technique_fit import TechniqueFit, near_techniques
from auditor.plan.shot_plan import Intent, PlannedThing, Tolerances
from auditor.quantity import Quantity
from auditor.values import Fraction, Place, Words

# Techniques that ask for a line rather than a point: only the distance across it can be wrong.
_LINE_TECHNIQUES = frozenset({"diagonals", "symmetry"})

# An element of at least this planned size that was not found is missing. A smaller one, or one
# without a planned size, may have been overlooked. Share of the frame: a cup beside a dish. (A
# choice, no source; not yet compared with the sizes of the elements that the finder overlooks.)
ALWAYS_FOUND_SIZE = 0.03


def compare_subject(
    intent: Intent, measured: MeasuredPhotograph, tolerances: Tolerances
) -> Iterator[ComparedItem]:
    """Compare place and size of the subject."""
    planned = intent.subject
    if planned is None:
        return
    if planned.at is not None:
        found, tolerance = measured.subject, tolerances.subject
        yield _placed("subject", None, planned.at, found, measured, tolerance)
    if planned.size is not None:
        yield _sized(planned.size, measured, tolerances.subject_size)


def _placed(
    quantity: str,
    element: str | None,
    at: Point,
    found: Quantity[Region],
    measured: MeasuredPhotograph,
    tolerance: float,
) -> ComparedItem:
    """Compare a place by its distance from the planned one, in two dimensions."""
    planned = Place(at)
    if found.value is None:
        return ComparedItem.unmeasured(quantity, planned, element=element, tolerance=tolerance)
    centroid = found.value.centroid
    distance = distance_fraction(at, centroid, measured.width, measured.height)
    return ComparedItem.of(
        quantity,
        planned,
        Place(centroid),
        verdict_on_quantity(distance, tolerance, found, dimensions=2),
        element=element,
        difference=distance,
        tolerance=tolerance,
    )


def _sized(planned: float, measured: MeasuredPhotograph, tolerance: float) -> ComparedItem:
    found = measured.subject
    if found.value is None:
        return ComparedItem.unmeasured("subject_size", Fraction(planned), tolerance=tolerance)
    size = found.value.area_fraction
    difference = size - planned
    deviation = size_deviation(found, measured.width, measured.height)
    within = probability_within(difference, tolerance, deviation)
    return ComparedItem.of(
        "subject_size",
        Fraction(planned),
        Fraction(size),
        verdict_of(difference, tolerance, within, found.confidence or 0.0),
        difference=difference,
        tolerance=tolerance,
    )


def size_deviation(found: Quantity[Region], width: float, height: float) -> float:
    """Estimate the standard deviation of a region's share of the frame from its centroid's.

    A piece wrongly added or left out at the edge of a disc moves the disc's centroid by the
    radius times the piece's share of the disc. Conversely, an error of the centroid by e means an
    error of the share by share × e / radius.
    """
    if found.value is None:
        raise ValueError("a region that was not found has no size")
    share = found.value.area_fraction
    if share <= 0:
        return math.inf
    # Frame area over squared diagonal turns a share of the frame into diagonal units.
    frame_area = width * height / (width**2 + height**2)
    radius = math.sqrt(share * frame_area / math.pi)
    return share * standard_deviation(found, dimensions=2) / radius


def compare_supporting(
    intent: Intent, measured: MeasuredPhotograph, tolerances: Tolerances
) -> Iterator[ComparedItem]:
    """Compare each supporting element with the found one that is assigned to it.

    An element that is missing from its place is undecided if something else was found there:
    things that touch are found as one, so the element may be a part of it.
    """
    elements = [element for element in measured.elements if element.value is not None]
    regions = [element.value for element in elements if element.value is not None]
    reach = CLOSE_WITHIN * tolerances.supporting
    frame = (measured.width, measured.height)
    assigned = assign_elements(intent.supporting, regions, *frame, reach=reach)
    for planned, index in zip(intent.supporting, assigned, strict=True):
        found = elements[index] if index is not None else None
        if planned.at is None:
            yield _anywhere(planned, found)
        else:
            yield _at_its_place(planned, planned.at, found, measured, tolerances.supporting)


def _at_its_place(
    planned: PlannedThing,
    at: Point,
    found: Quantity[Region] | None,
    measured: MeasuredPhotograph,
    tolerance: float,
) -> ComparedItem:
    if found is None:
        item = _absent(planned, tolerance)
    else:
        item = _placed("supporting", planned.name, at, found, measured, tolerance)
    if item.verdict is Verdict.MISSED and _stands_in_another(at, measured):
        return ComparedItem.unmeasured(
            "supporting", item.planned, element=planned.name, tolerance=tolerance
        )
    return item


def _stands_in_another(at: Point, measured: MeasuredPhotograph) -> bool:
    """Whether a place lies in the box of the subject or of an element that was found."""
    found = (one.value for one in (*measured.elements, measured.subject))
    return any(
        other.bbox.left <= at.x <= other.bbox.right and other.bbox.top <= at.y <= other.bbox.bottom
        for other in found
        if other is not None
    )


def _anywhere(planned: PlannedThing, found: Quantity[Region] | None) -> ComparedItem:
    """Compare an element planned without a place, which only has to be in the frame."""
    if found is None or found.value is None:
        return _absent(planned, None)
    is_certain = (found.confidence or 0.0) >= LEAST_CONFIDENCE_OF_WORD
    verdict = Verdict.MET if is_certain else Verdict.UNDECIDED
    at = Place(found.value.centroid)
    return ComparedItem.of("supporting", None, at, verdict, element=planned.name)


def _absent(planned: PlannedThing, tolerance: float | None) -> ComparedItem:
    """The item of an element to which no found one could be assigned."""
    is_missed = planned.size is not None and planned.size >= ALWAYS_FOUND_SIZE
    return ComparedItem.of(
        "supporting",
        None if planned.at is None else Place(planned.at),
        None,
        Verdict.MISSED if is_missed else Verdict.UNDECIDED,
        element=planned.name,
        tolerance=tolerance,
    )


def compare_technique(
    intent: Intent, measured: MeasuredPhotograph, tolerances: Tolerances
) -> Iterator[ComparedItem]:
    """Compare by the distance of the subject from the planned technique.

    Techniques share points (the centre lies on both diagonals) and lie close together: within the
    tolerance the measured technique is the planned one even if another is nearer. Beyond it, it is
    the one whose nearness is the least likely by chance, or None where none is near. Some
    techniques ask for more than a place (symmetry): without that, there is no difference, and the
    measured technique is one of the others.
    """
    planned, tolerance, fits = intent.technique, tolerances.technique, measured.technique_fit
    if planned is None:
        return
    if planned not in fits or measured.subject.value is None:
        yield ComparedItem.unmeasured("technique", Words(planned), tolerance=tolerance)
    elif not fits[planned].is_there:
        yield _technique_not_there(planned, fits)
    else:
        yield _technique_by_distance(planned, fits, measured.subject, tolerance)


def _technique_by_distance(
    planned: str,
    fits: Mapping[str, TechniqueFit],
    subject: Quantity[Region],
    tolerance: float,
) -> ComparedItem:
    fit = fits[planned]
    deviation = standard_deviation(subject, dimensions=2)
    dimensions = 1 if planned in _LINE_TECHNIQUES else 2
    within = probability_within(fit.distance, tolerance, deviation, dimensions)
    if fit.confidence is not None:
        within *= fit.confidence
    return ComparedItem.of(
        "technique",
        Words(planned),
        Words(planned) if fit.distance <= tolerance else _nearest_technique(fits),
        verdict_of(fit.distance, tolerance, within, subject.confidence or 0.0),
        difference=fit.distance,
        tolerance=tolerance,
    )


def _technique_not_there(planned: str, fits: Mapping[str, TechniqueFit]) -> ComparedItem:
    is_certain = 1 - (fits[planned].confidence or 0.0) <= MOST_DOUBT_OF_FAULT
    verdict = Verdict.MISSED if is_certain else Verdict.UNDECIDED
    return ComparedItem.of("technique", Words(planned), _nearest_technique(fits), verdict)


def _nearest_technique(fits: Mapping[str, TechniqueFit]) -> Words | None:
    """The technique to which the subject is near; None for none, however small its distance."""
    near = near_techniques(fits)
    return Words(near[0]) if near else None
