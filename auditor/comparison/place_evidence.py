"""What places say about the shot: where the subject is, and where other things stand.

Densities are relative to a thing that may be anywhere in the frame.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from scipy.special import ndtr

from auditor.comparison.candidates import Candidate, candidates
from auditor.comparison.evidence import (
    SCALES,
    SMOOTHING,
    USUAL_PICTURES,
    Ratios,
    ratio_of,
    says_nothing,
    without_self,
)
from auditor.comparison.planned_place import PlannedPlace
from auditor.comparison.verdicts import doubt_of, spread_of
from auditor.geometry import Point, distance_fraction
from auditor.measurements.measured_photograph import MeasuredPhotograph
from auditor.plan.shot_plan import Intent, PlannedThing, Tolerances
from auditor.vocabulary.kinds import kind_of

# Probability that a picture of a shot has its subject about where it was planned (our choice).
SUBJECT_KEPT = 0.92
# Subjects in general, relative to the diagonal: three in five lie about the middle with this
# deviation (140 photographs of dishes by many hands: 0.07 and 0.08 of the sides), the others
# anywhere.
ABOUT_MIDDLE, MIDDLE_DEVIATION = 0.6, 0.06
# Probability that a planned element is there and found: on photographs fewer are than on rendered
# tables.
ELEMENT_FOUND = 0.75
USUAL_ELEMENTS = 1.2  # things beside the subject on pictures in general
# Things beside the planned ones in a picture of a shot, as a part of those in any picture: where
# the plan lists some, and where it lists none, perhaps because they do not matter.
UNPLANNED_PART, UNLISTED_PART = 0.5, 0.75
LEAST_OTHERS = 0.1  # things in a picture, where none of the set has any: keeps a quotient finite
LEAST_AREA = 0.02  # of a zone, as a share of the frame


def subject_ratios(
    intents: Sequence[Intent], pictures: Sequence[MeasuredPhotograph], tolerances: Tolerances
) -> Ratios:
    """Ratios of each shot (row) and picture (column) from the place of the subject."""
    ratios = np.ones((len(intents), len(pictures)))
    planned = [
        one.subject if one.subject is not None and one.subject.has_place else None
        for one in intents
    ]
    if says_nothing([None if one is None else (one.at, one.zone) for one in planned]):
        return ratios
    found = [at for at, picture in enumerate(pictures) if picture.subject.value is not None]
    usual = dict(zip(found, _usual_places([pictures[at] for at in found], tolerances), strict=True))
    for row, thing in zip(ratios, planned, strict=True):
        if thing is None:
            continue
        for at in found:
            picture = pictures[at]
            place = PlannedPlace.of(thing, picture, tolerances.subject)
            if place is None or picture.subject.value is None:
                continue
            spread = spread_of(picture.subject)
            density = _density(place, picture.subject.value.centroid, spread)
            kept = SUBJECT_KEPT * (1 - doubt_of(picture.subject))
            row[at] = ratio_of(kept, np.array(density), np.array(usual[at]))
    return ratios


def _usual_places(pictures: Sequence[MeasuredPhotograph], tolerances: Tolerances) -> Ratios:
    """Density of each subject's place over the other pictures and pictures in general."""
    general, places = [], []
    for picture in pictures:
        if picture.subject.value is None:
            raise ValueError("only pictures with a subject have a place")
        at = picture.subject.value.centroid
        away = distance_fraction(at, Point(0.5, 0.5), picture.width, picture.height)
        about = _normal_2d(away, MIDDLE_DEVIATION, picture)
        general.append(ABOUT_MIDDLE * about + 1 - ABOUT_MIDDLE)
        places.append(at)
    each = np.array(
        [
            [
                _normal_2d(
                    distance_fraction(at, other, picture.width, picture.height),
                    float(np.hypot(SMOOTHING * tolerances.subject, spread_of(picture.subject))),
                    picture,
                )
                for other in places
            ]
            for at, picture in zip(places, pictures, strict=True)
        ]
    ).reshape(len(pictures), len(pictures))
    return without_self(each.sum(axis=1), np.diag(each), len(pictures) - 1, general)


def _normal_2d(away: float, deviation: float, frame: MeasuredPhotograph | PlannedPlace) -> float:
    """Density of a normal error in the frame, relative to an even one."""
    area = frame.width * frame.height / (frame.width**2 + frame.height**2)
    return float(area * np.exp(-0.5 * (away / deviation) ** 2) / (2 * np.pi * deviation**2))


def _density(place: PlannedPlace, at: Point, spread: float) -> float:
    """Density of a thing's place in pictures that keep its planned place."""
    total = 0.0
    for scale, share in SCALES:
        deviation = float(np.hypot(scale * place.tolerance, spread))
        if place.zone is None or place.zone.is_point:
            total += share * _normal_2d(place.difference(at), deviation, place)
        else:
            beyond = place.zone.distance(at, place.width, place.height)
            area = min(1.0, sum(box.area_fraction for box in place.boxes))
            total += share * float(ndtr(-beyond / deviation)) / max(area, LEAST_AREA)
    return total


@dataclass(frozen=True, slots=True)
class _Things:
    """What is in a picture beside the subject."""

    picture: MeasuredPhotograph
    found: tuple[Candidate, ...]

    @property
    def number(self) -> float:
        """Expected number of things."""
        return sum(one.exists for one in self.found)


def element_ratios(
    intents: Sequence[Intent], pictures: Sequence[MeasuredPhotograph], tolerances: Tolerances
) -> Ratios:
    """Ratios from the supporting elements: those at their places, those missing, and others.

    Things in any picture are taken for independent of each other and spread evenly, so many of
    them on average. In a picture of a shot there are those that are planned, if they are found, and
    fewer others.
    """
    ratios = np.ones((len(intents), len(pictures)))
    if says_nothing([one.supporting for one in intents]):
        return ratios
    things = [_Things(picture, candidates(picture)) for picture in pictures]
    total = sum(one.number for one in things)
    for column, one in enumerate(things):
        others = total - one.number + USUAL_PICTURES * USUAL_ELEMENTS
        usual = others / (len(pictures) - 1 + USUAL_PICTURES)
        for row, intent in enumerate(intents):
            ratios[row, column] = _ratio_of_elements(intent.supporting, one, usual, tolerances)
    return ratios


def _ratio_of_elements(
    planned: Sequence[PlannedThing], things: _Things, usual: float, tolerances: Tolerances
) -> float:
    placed = [one for one in planned if one.has_place]
    part = UNPLANNED_PART if placed else UNLISTED_PART
    others = part * usual
    log_ratio = usual - others + things.number * np.log(part)
    log_ratio += len(placed) * np.log(1 - ELEMENT_FOUND)
    gains = np.array([_gains(one, things, others, tolerances) for one in placed])
    if gains.size:
        from scipy.optimize import linear_sum_assignment  # slow to load

        rows, columns = linear_sum_assignment(-gains)
        log_ratio += gains[rows, columns].sum()
    return float(np.exp(log_ratio))


def _gains(
    planned: PlannedThing, things: _Things, others: float, tolerances: Tolerances
) -> list[float]:
    """What the ratio gains, in logarithms, where a planned thing is each of those found."""
    place = PlannedPlace.of(planned, things.picture, tolerances.supporting)
    if place is None:
        raise ValueError("a thing without a place cannot be looked for at it")
    kind = kind_of(planned.name or "")
    gains = []
    for one in things.found:
        density = _density(place, one.place, one.spread)
        odds = ELEMENT_FOUND / (1 - ELEMENT_FOUND) * density / max(others, LEAST_OTHERS)
        gains.append(float(np.log1p(one.exists * one.fits(kind) * odds)))
    return gains
