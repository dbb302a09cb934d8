"""What must not be in a picture: things of that kind among those found, or none.

Measurements know shapes, not things. Where nothing of the kind is found, and such things usually
are, it is not there. Where something is, its shape says how likely it is what must not be there;
only a shape that few other things have (long and thin, or with a dish's rim) is a miss.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from auditor.comparison.candidates import Candidate, candidates, contains
from auditor.comparison.dishes import Dishes
from auditor.comparison.item import ComparedItem, Doubt, Match, Verdict
from auditor.comparison.planned_place import PlannedPlace
from auditor.comparison.presence import PlacedMap
from auditor.comparison.supporting import (
    BEYOND_ZONE,
    COVERED,
    NAMED_SHARE,
    NOTHING_PLACED_SHARE,
)
from auditor.comparison.verdicts import MOST_MET_OF_FAULT, ROUNDING
from auditor.geometry import Box
from auditor.measurements.measured_photograph import MeasuredPhotograph
from auditor.plan.shot_plan import Intent, PlannedThing, Tolerances
from auditor.values import Place
from auditor.vocabulary.kinds import Kind, kind_of

# Probability that what must not be there is there, up to which it counts as left out, and from
# which on as there. Chosen on 60 photographs of dishes by many hands with 126 things noted by eye
# (`fixtures/planned_elements_for_choosing.json`): 0.2 and more was found for 51 of 65 things at
# their place, and at 8 of 61 places without the thing.
MOST_OF_LEFT_OUT = 0.2
LEAST_OF_THERE = 1 - MOST_MET_OF_FAULT


# Odds that a thing at the very place where one must not be is that one, before its shape is looked
# at; anywhere in the frame they are even.
ODDS_AT_PLACE = 2.0
# The most for a thing whose shape many others have, too, or that has none.
MOST_WITHOUT_SHAPE = 0.55
# Kinds that often have no outline of their own.
_WITHOUT_OUTLINE = frozenset({Kind.FLAT, Kind.SMALL, Kind.UNKNOWN})


@dataclass(frozen=True, slots=True)
class _Seen:
    """What of a picture tells whether something is there.

    Attributes
    ----------
    measured : MeasuredPhotograph
    found : tuple of Candidate
        That are no planned element.
    dishes : Dishes
    rest : PlacedMap
        What is placed beside all things that have an outline.
    """

    measured: MeasuredPhotograph
    found: tuple[Candidate, ...]
    dishes: Dishes
    rest: PlacedMap

    @classmethod
    def of(cls, measured: MeasuredPhotograph, taken: Sequence[Box]) -> _Seen:
        everything = candidates(measured)
        rest = PlacedMap(measured.placed, measured.width, measured.height)
        for box in taken:
            rest.take_box(box)
        for one in everything:
            if one.seen_as == "outline":
                rest.take_box(one.box)
        found = tuple(one for one in everything if one.box not in taken)
        return cls(measured, found, Dishes.of(measured), rest)

    def chance(self, one: Candidate, kind: Kind, place: PlannedPlace | None) -> float:
        """Probability that a thing found is of a kind and at a place."""
        odds = 1.0 if place is None else ODDS_AT_PLACE
        within = 1.0 if place is None else place.probability(one.place, one.spread)
        is_it = one.exists * self.dishes.share_of_kind(one, kind, odds) * within
        return is_it if self.dishes.is_distinct(one, kind) else min(is_it, MOST_WITHOUT_SHAPE)


def compare_unwanted(
    intent: Intent, measured: MeasuredPhotograph, tolerances: Tolerances, taken: Sequence[Box]
) -> Iterator[ComparedItem]:
    """Look for each thing that must not be in the picture.

    Parameters
    ----------
    intent : Intent
    measured : MeasuredPhotograph
    tolerances : Tolerances
    taken : sequence of Box
        What planned elements were taken to be.
    """
    if not intent.without:
        return
    seen = _Seen.of(measured, taken)
    for thing in intent.without:
        place = PlannedPlace.of(thing, measured, tolerances.supporting, BEYOND_ZONE)
        yield _compared(thing, place, seen)


def _compared(thing: PlannedThing, place: PlannedPlace | None, seen: _Seen) -> ComparedItem:
    kind = kind_of(thing.name or "")

    def chance(one: Candidate) -> float:
        return seen.chance(one, kind, place)

    best = max(seen.found, key=chance, default=None)
    of_best = 0.0 if best is None else chance(best)
    unseen, why = _unseen(kind, place, seen)
    there = max(of_best, unseen)
    shown = best if of_best > MOST_OF_LEFT_OUT else None
    verdict = _verdict(there)
    doubt: Doubt = "" if verdict is not Verdict.UNDECIDED else "shape" if shown else why
    return ComparedItem.of(
        "without",
        None if place is None else Place(place.point),
        None if shown is None else Place(shown.place),
        verdict,
        element=thing.name,
        zone=None if place is None else place.zone,
        match=None if shown is None else Match(shown.box, shown.element, shown.seen_as),
        doubt=doubt,
    )


def _verdict(there: float) -> Verdict:
    if there <= MOST_OF_LEFT_OUT + ROUNDING:
        return Verdict.MET
    return Verdict.MISSED if there >= LEAST_OF_THERE - ROUNDING else Verdict.UNDECIDED


def _unseen(kind: Kind, place: PlannedPlace | None, seen: _Seen) -> tuple[float, Doubt]:
    """Probability that it is there without an outline, and why that is not known better."""
    if kind not in _WITHOUT_OUTLINE:
        return 0.0, ""
    if place is None:
        is_empty = seen.rest.share < NOTHING_PLACED_SHARE and not (
            kind is Kind.SMALL and seen.found
        )
        return (0.0, "") if is_empty else (MOST_WITHOUT_SHAPE, _why(kind))
    cells = seen.rest.near(place.boxes, place.tolerance)
    of_map = min(MOST_WITHOUT_SHAPE, NAMED_SHARE * seen.rest.within(cells).probability)
    subject = seen.measured.subject.value
    if subject is not None and contains(subject.bbox, place.point) and COVERED[kind] > of_map:
        return COVERED[kind], "covered"
    return of_map, _why(kind)


def _why(kind: Kind) -> Doubt:
    return "small" if kind is Kind.SMALL else "outline"
