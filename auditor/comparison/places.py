"""Places in the frame: subject, its size, technique."""

from __future__ import annotations

import dataclasses
import math
from collections.abc import Iterator, Mapping

from auditor.accepted import Accepted
from auditor.comparison.accepted_range import compare_number
from auditor.comparison.item import ComparedItem, Verdict
from auditor.comparison.planned_place import PlannedPlace
from auditor.comparison.verdicts import (
    doubt_of,
    probability_within,
    spread_of,
    verdict_of,
    verdict_of_absence,
)
from auditor.geometry import Region
from auditor.measurements.measured_photograph import MeasuredPhotograph
from auditor.measurements.technique_fit import TechniqueFit, near_techniques
from auditor.plan.shot_plan import Intent, PlannedThing, Tolerances
from auditor.quantity import Quantity
from auditor.values import Fraction, Place, Words
from auditor.vocabulary.techniques import SYMMETRY

# Techniques that ask for a line rather than a point: only the distance across it can be wrong.
_LINE_TECHNIQUES = frozenset({"diagonals", "symmetry"})

_BEST_FIRST = (Verdict.MET, Verdict.UNDECIDED, Verdict.CLOSE, Verdict.MISSED)

# Whether a picture is symmetrical is a matter of view near the limit: a symmetrical scene may have
# its light from one side. Only what is clearly not symmetrical is missed (our choice, no source).
LEAST_CONFIDENCE_OF_NO_SYMMETRY = 0.8


def compare_subject(
    intent: Intent, measured: MeasuredPhotograph, tolerances: Tolerances
) -> Iterator[ComparedItem]:
    """Compare place and size of the subject."""
    planned = intent.subject
    if planned is None:
        return
    if planned.has_place:
        yield _placed(planned, measured, tolerances.subject)
    if planned.size is not None:
        yield _sized(planned.size, measured, tolerances.subject_size)


def _placed(planned: PlannedThing, measured: MeasuredPhotograph, tolerance: float) -> ComparedItem:
    """Compare a place by its distance from the planned point, or beyond the planned zone."""
    place, found = PlannedPlace.of(planned, measured, tolerance), measured.subject
    if place is None:
        raise ValueError("a subject without a place cannot be compared by it")
    at = Place(place.point)
    if found.value is None:
        return ComparedItem.unmeasured("subject", at, tolerance=tolerance, zone=place.zone)
    centroid = found.value.centroid
    difference = place.difference(centroid)
    within = place.probability(centroid, spread_of(found))
    return ComparedItem.of(
        "subject",
        at,
        Place(centroid),
        verdict_of(difference, tolerance, within, doubt_of(found)),
        difference=difference,
        tolerance=tolerance,
        zone=place.zone,
    )


def _sized(planned: Accepted, measured: MeasuredPhotograph, tolerance: float) -> ComparedItem:
    found = measured.subject
    is_there = found.value is not None
    return compare_number(
        "subject_size",
        planned,
        found.value.area_fraction if found.value is not None else None,
        tolerance,
        Fraction,
        spread=size_deviation(found, measured.width, measured.height) if is_there else math.inf,
        doubt=doubt_of(found),
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


def compare_technique(
    intent: Intent, measured: MeasuredPhotograph, tolerances: Tolerances
) -> Iterator[ComparedItem]:
    """Compare by the distance of the subject from the planned technique.

    Techniques share points (the centre lies on both diagonals) and lie close together: within the
    tolerance the measured technique is the planned one even if another is nearer. Beyond it, it is
    the one whose nearness is the least likely by chance, or None where none is near. Some
    techniques ask for more than a place (symmetry): without that, there is no difference, and the
    measured technique is one of the others. Of several planned techniques the best kept counts.
    """
    if not intent.techniques:
        return
    each = [_one_technique(one, measured, tolerances.technique) for one in intent.techniques]
    best = min(each, key=lambda item: _BEST_FIRST.index(item.verdict))
    yield dataclasses.replace(best, planned=Words(" or ".join(intent.techniques)))


def _one_technique(planned: str, measured: MeasuredPhotograph, tolerance: float) -> ComparedItem:
    fits = measured.technique_fit
    if planned not in fits or measured.subject.value is None:
        return ComparedItem.unmeasured("technique", Words(planned), tolerance=tolerance)
    if not fits[planned].is_there:
        return _technique_not_there(planned, fits)
    return _technique_by_distance(planned, fits, measured.subject, tolerance)


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
