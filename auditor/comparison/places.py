"""Places in the frame: subject, its size, supporting elements, technique."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping

from auditor.comparison.assignment import assign_elements
from auditor.comparison.item import ComparedItem, Verdict
from auditor.comparison.presence import PlacedMap
from auditor.comparison.verdicts import (
    CLOSE_WITHIN,
    doubt_of,
    probability_within,
    spread_of,
    verdict_of,
    verdict_of_absence,
    verdict_on_quantity,
)
from auditor.geometry import Point, Region, distance_fraction
from auditor.measurements.measured_photograph import MeasuredPhotograph
from auditor.measurements.technique_fit import TechniqueFit, near_techniques
from auditor.plan.shot_plan import Intent, PlannedThing, Tolerances
from auditor.quantity import MOST_DOUBT, Quantity
from auditor.values import Fraction, Place, Words
from auditor.vocabulary.techniques import SYMMETRY

# Techniques that ask for a line rather than a point: only the distance across it can be wrong.
_LINE_TECHNIQUES = frozenset({"diagonals", "symmetry"})

# Whether a picture is symmetrical is a matter of view near the limit: a symmetrical scene may have
# its light from one side. Only what is clearly not symmetrical is missed (our choice, no source).
LEAST_CONFIDENCE_OF_NO_SYMMETRY = 0.8
_AT_ITS_PLACE = frozenset({Verdict.MET, Verdict.CLOSE})
# Least probability, by the map of placed things, that something stands at a planned place, and the
# largest with which it is missing (more likely than not; better than two to one).
LEAST_PRESENT, MOST_PRESENT_OF_MISSING = 0.5, 0.35
# Share of the frame covered by other things than the subject, below which there is nothing beside
# it: a spoon on a table (no source).
NOTHING_PLACED_SHARE = 0.005


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
        verdict_of(difference, tolerance, within, doubt_of(found)),
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
    return share * spread_of(found) / radius


def compare_supporting(
    intent: Intent, measured: MeasuredPhotograph, tolerances: Tolerances
) -> Iterator[ComparedItem]:
    """Compare each supporting element with the found one that is assigned to it.

    Things that have no outline of their own, because they are thin or touch others, are looked up
    in the map of what is placed in the frame.
    """
    elements = [element for element in measured.elements if element.value is not None]
    regions = [element.value for element in elements if element.value is not None]
    reach = CLOSE_WITHIN * tolerances.supporting
    frame = (measured.width, measured.height)
    assigned = assign_elements(intent.supporting, regions, *frame, reach=reach)
    cover = PlacedMap(measured.placed, *frame)
    by_outline = {}
    for place, (planned, index) in enumerate(zip(intent.supporting, assigned, strict=True)):
        if planned.at is not None and index is not None:
            by_outline[place] = _placed(
                "supporting",
                planned.name,
                planned.at,
                elements[index],
                measured,
                tolerances.supporting,
            )
            if by_outline[place].verdict in _AT_ITS_PLACE:
                cover.take_box(regions[index].bbox)
    for place, (planned, index) in enumerate(zip(intent.supporting, assigned, strict=True)):
        if planned.at is None:
            yield _anywhere(planned, None if index is None else elements[index], measured)
        else:
            found = by_outline.get(place)
            yield _at_its_place(planned, planned.at, found, measured, cover, tolerances.supporting)


def _at_its_place(
    planned: PlannedThing,
    at: Point,
    item: ComparedItem | None,
    measured: MeasuredPhotograph,
    cover: PlacedMap,
    tolerance: float,
) -> ComparedItem:
    """Compare an element with what stands at its place, by its outline or by the map.

    `item` is the comparison by outline, None where no outline is left for it. What another planned
    element was found by is no longer in the map. Without either the element is missing, unless the
    place belongs to the subject or to another element, of which it may be a part.
    """
    if item is not None and item.verdict in _AT_ITS_PLACE:
        return item
    seen = cover.around(at)
    if seen.probability >= LEAST_PRESENT and seen.centre is not None:
        distance = distance_fraction(at, seen.centre, measured.width, measured.height)
        if distance <= CLOSE_WITHIN * tolerance:
            cover.take_around(at)
            return ComparedItem.of(
                "supporting",
                Place(at),
                Place(seen.centre),
                Verdict.MET if distance <= tolerance else Verdict.CLOSE,
                element=planned.name,
                difference=distance,
                tolerance=tolerance,
            )
    is_missing = seen.probability <= MOST_PRESENT_OF_MISSING and not _stands_in_another(
        at, measured
    )
    if item is not None and (is_missing or item.verdict is Verdict.UNDECIDED):
        return item
    if not is_missing:
        return ComparedItem.unmeasured(
            "supporting", Place(at), element=planned.name, tolerance=tolerance
        )
    return ComparedItem.of(
        "supporting",
        Place(at),
        None,
        Verdict.MISSED,
        element=planned.name,
        tolerance=tolerance,
    )


def _stands_in_another(at: Point, measured: MeasuredPhotograph) -> bool:
    """Whether a place lies in the box of the subject or of an element that was found."""
    found = (one.value for one in (*measured.elements, measured.subject))
    return any(
        other.bbox.left <= at.x <= other.bbox.right and other.bbox.top <= at.y <= other.bbox.bottom
        for other in found
        if other is not None
    )


def _anywhere(
    planned: PlannedThing, found: Quantity[Region] | None, measured: MeasuredPhotograph
) -> ComparedItem:
    """Compare an element planned without a place, which only has to be in the frame."""
    if found is not None and found.value is not None:
        verdict = Verdict.MET if doubt_of(found) <= MOST_DOUBT else Verdict.UNDECIDED
        at = Place(found.value.centroid)
        return ComparedItem.of("supporting", None, at, verdict, element=planned.name)
    placed = PlacedMap(measured.placed, measured.width, measured.height)
    is_missing = placed.share < NOTHING_PLACED_SHARE
    verdict = Verdict.MISSED if is_missing else Verdict.UNDECIDED
    return ComparedItem.of("supporting", None, None, verdict, element=planned.name)


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
    dimensions = 1 if planned in _LINE_TECHNIQUES else 2
    within = probability_within(fit.distance, tolerance, spread_of(subject), dimensions)
    is_right = 1 - doubt_of(subject)
    if fit.outline and fit.confidence is not None:
        is_right = fit.confidence  # which includes the subject's, a corner or what is framed
    elif fit.confidence is not None:
        is_right *= fit.confidence
    return ComparedItem.of(
        "technique",
        Words(planned),
        Words(planned) if fit.distance <= tolerance else _nearest_technique(fits),
        verdict_of(fit.distance, tolerance, within, 1 - is_right),
        difference=fit.distance,
        tolerance=tolerance,
    )


def _technique_not_there(planned: str, fits: Mapping[str, TechniqueFit]) -> ComparedItem:
    confidence = fits[planned].confidence or 0.0
    verdict = verdict_of_absence(1 - confidence)
    if planned == SYMMETRY and confidence < LEAST_CONFIDENCE_OF_NO_SYMMETRY:
        verdict = Verdict.UNDECIDED
    return ComparedItem.of("technique", Words(planned), _nearest_technique(fits), verdict)


def _nearest_technique(fits: Mapping[str, TechniqueFit]) -> Words | None:
    """The technique to which the subject is near; None for none, however small its distance."""
    near = near_techniques(fits)
    return Words(near[0]) if near else None
