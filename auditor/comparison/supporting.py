"""Supporting elements: each planned one beside what it may have been found as.

A plan has names, a picture has outlines. Each outline near the planned place may be the named
thing, the more so the better its shape fits the name; so may one elsewhere, or none. The
probability that the thing is at its place is the sum over these cases.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from auditor.comparison.assignment import assign
from auditor.comparison.candidates import Candidate, candidates, contains
from auditor.comparison.item import ComparedItem, Doubt, Match, Verdict
from auditor.comparison.planned_place import PlannedPlace
from auditor.comparison.presence import PlacedMap, Presence
from auditor.comparison.verdicts import CLOSE_WITHIN, LEAST_MET, MOST_MET_OF_FAULT, ROUNDING
from auditor.geometry import Box, Point
from auditor.measurements.measured_photograph import MeasuredPhotograph
from auditor.plan.shot_plan import Intent, PlannedThing, Tolerances
from auditor.values import Place
from auditor.vocabulary.kinds import Kind, kind_of

# Weights of the cases beside those of the candidates, which are their probability of being a thing
# times the fit of their shape. Chosen on 60 photographs of dishes by many hands, with 128 planned
# things noted by eye (`fixtures/planned_elements_for_choosing.json`).
NOT_FOUND = 0.5  # that the named thing is none of those found
# Odds that a planned thing is in the picture, before it is looked at, relative to those of the
# marks, in which half of the things are not there. At least two in three things that a photographer
# plans are there (no source).
PLANNED_ODDS = 2.0
ELSEWHERE = 0.05  # of a candidate outside the planned place, relative to one inside
LEAST_WEIGHT = 0.2  # below it a candidate is not named as what was planned
# Share of the tolerance that is allowed beyond a zone, which leaves room itself: with all of it,
# "upper right" would reach the middle of the frame's height.
BEYOND_ZONE = 0.5
# Share of what the map shows beside the things found that is what was named there.
NAMED_SHARE = 0.75
# The same for what usually has a clear outline, a glass or a bowl.
NAMED_SHARE_OF_CLEAR = 0.58
# Odds of a long thin thing where no two edges show it, relative to the others: edges were found for
# 14 of 19 such things, and in 5 of 37 places without one.
NO_EDGES_ODDS = 0.3
# Probability that something is at a place that the subject or another thing covers, if nothing
# shows it: it may be a part of that. Small things lie on food and are not looked for.
COVERED_FROM = 0.5  # share of the planned place
COVERED = {
    Kind.SMALL: 0.48,
    Kind.UNKNOWN: 0.38,
    Kind.FLAT: 0.35,
    Kind.ROUND: 0.30,
    Kind.TALL: 0.30,
    Kind.LONG: 0.20,
}
# A cloth or leaves under or on another element are found with it as one.
COVERED_BY_ELEMENT = COVERED | {Kind.SMALL: 0.48, Kind.FLAT: 0.46}
# Share of the frame covered by other things than the subject, below which there is nothing beside
# it: a spoon on a table (no source).
NOTHING_PLACED_SHARE = 0.005


@dataclass(frozen=True, slots=True)
class _Scene:
    """What is in a picture beside the subject."""

    measured: MeasuredPhotograph
    found: tuple[Candidate, ...]
    placed: PlacedMap
    share: float

    @classmethod
    def of(cls, measured: MeasuredPhotograph) -> _Scene:
        found = candidates(measured)
        placed = PlacedMap(measured.placed, measured.width, measured.height)
        share = placed.share
        for one in found:
            if one.seen_as == "outline":
                placed.take_box(one.box)
        return cls(measured, found, placed, share)

    def is_covered(self, cells: NDArray[np.bool_], at: Point, box: Box) -> bool:
        """Whether a box covers a planned place: its middle, or much of what it may extend to."""
        return contains(box, at) or self.placed.share_in(cells, box) >= COVERED_FROM


@dataclass(frozen=True, slots=True)
class _Wanted:
    """A planned element with its place brought to the picture."""

    planned: PlannedThing
    kind: Kind
    place: PlannedPlace | None

    def within(self, one: Candidate) -> float:
        """Probability that a candidate is at the planned place; 1 where it may be anywhere."""
        return 1.0 if self.place is None else self.place.probability(one.place, one.spread)

    def weight(self, one: Candidate) -> float:
        """How likely a candidate is the planned element, up to a factor."""
        within = self.within(one)
        if self.place is None:
            # Those with a place have the first choice.
            return one.exists * one.fits(self.kind) * NOT_FOUND
        return one.exists * one.fits(self.kind) * (within + ELSEWHERE * (1 - within))


def n_expected(planned: PlannedThing) -> int:
    """How many things a planned element is at least."""
    return 1 if planned.count is None else max(1, round(planned.count.spans[0][0]))


def compare_supporting(
    intent: Intent, measured: MeasuredPhotograph, tolerances: Tolerances
) -> Iterator[ComparedItem]:
    """Compare each supporting element with what it may have been found as.

    Several things of one name are counted elsewhere; here each of them only keeps the others from
    being taken for it.
    """
    if all(one.count is not None for one in intent.supporting):
        return
    scene = _Scene.of(measured)
    wanted = [
        _Wanted(
            one,
            kind_of(one.name or ""),
            PlannedPlace.of(one, measured, tolerances.supporting, BEYOND_ZONE),
        )
        for one in intent.supporting
        for _ in range(n_expected(one))
    ]
    weights = np.array([[one.weight(found) for found in scene.found] for one in wanted]).reshape(
        len(wanted), len(scene.found)
    )
    assigned = assign(weights, nothing=LEAST_WEIGHT * ELSEWHERE)
    for one, row, index in zip(wanted, weights, assigned, strict=True):
        if one.planned.count is not None:
            continue
        others = {other for other in assigned if other is not None and other != index}
        free = [at for at in range(len(scene.found)) if at not in others]
        if one.place is None:
            yield _anywhere(one, scene, index)
        else:
            yield _at_its_place(one, one.place, scene, row, free)


def _at_its_place(
    one: _Wanted,
    place: PlannedPlace,
    scene: _Scene,
    weights: NDArray[np.float64],
    free: Sequence[int],
) -> ComparedItem:
    """Compare an element with the candidates that no other planned element has."""
    # Of a place on both sides of the subject, the side on which more is placed.
    each = [scene.placed.near([box], place.tolerance) for box in place.boxes]
    cells = max(each, key=lambda near: scene.placed.within(near).probability)
    seen = scene.placed.within(cells)
    unseen, is_covered = _unseen(one, place, scene, seen, cells)
    met = sum(
        float(scene.found[at].exists * scene.found[at].fits(one.kind) * one.within(scene.found[at]))
        for at in free
    )
    total = float(sum(weights[at] for at in free)) + NOT_FOUND
    of_marks = (met + NOT_FOUND * unseen) / total
    probability = PLANNED_ODDS * of_marks / (PLANNED_ODDS * of_marks + 1 - of_marks)
    best = max(free, key=lambda at: float(weights[at]), default=None)
    candidate = None if best is None else scene.found[best]
    if probability >= LEAST_MET - ROUNDING:
        return _present(one, place, scene, candidate, seen, cells)
    if probability > MOST_MET_OF_FAULT + ROUNDING:
        doubt: Doubt = "covered" if is_covered and met < LEAST_WEIGHT else "shape"
        near = candidate if candidate is not None and one.within(candidate) >= LEAST_MET else None
        return place.item(one.planned, near, Verdict.UNDECIDED, doubt=doubt)
    if best is None or candidate is None or not _is_clear(one, candidate, best, free, weights):
        return place.item(one.planned, None, Verdict.MISSED)
    is_close = place.difference(candidate.place) <= CLOSE_WITHIN * place.tolerance + ROUNDING
    return place.item(one.planned, candidate, Verdict.CLOSE if is_close else Verdict.MISSED)


def _is_clear(
    one: _Wanted,
    candidate: Candidate,
    best: int,
    free: Sequence[int],
    weights: NDArray[np.float64],
) -> bool:
    """Whether a candidate elsewhere is a thing, fits, and is likelier than all others together."""
    others = float(sum(weights[at] for at in free if at != best))
    is_thing = min(candidate.exists, candidate.fits(one.kind)) >= LEAST_MET
    return is_thing and float(weights[best]) > others + ROUNDING


def _unseen(
    one: _Wanted,
    place: PlannedPlace,
    scene: _Scene,
    seen: Presence,
    cells: NDArray[np.bool_],
) -> tuple[float, bool]:
    """Probability that it is there as none of the candidates, and whether something covers it."""
    is_clear = one.kind in {Kind.TALL, Kind.ROUND}
    unseen = (NAMED_SHARE_OF_CLEAR if is_clear else NAMED_SHARE) * seen.probability
    if one.kind is Kind.LONG:
        odds = NO_EDGES_ODDS * unseen / (1 - unseen)
        unseen = odds / (1 + odds)
    subject = scene.measured.subject.value
    if subject is not None and scene.is_covered(cells, place.point, subject.bbox):
        return max(unseen, COVERED[one.kind]), True
    outlines = (found.box for found in scene.found if found.seen_as == "outline")
    if any(scene.is_covered(cells, place.point, box) for box in outlines):
        return max(unseen, COVERED_BY_ELEMENT[one.kind]), True
    return unseen, False


def _present(
    one: _Wanted,
    place: PlannedPlace,
    scene: _Scene,
    candidate: Candidate | None,
    seen: Presence,
    cells: NDArray[np.bool_],
) -> ComparedItem:
    """The item of an element that is more likely there than not."""
    if candidate is None or one.within(candidate) < LEAST_MET:
        if seen.centre is None or seen.box is None:
            return place.item(one.planned, None, Verdict.UNDECIDED, doubt="covered")
        scene.placed.take_cells(cells)
        candidate = Candidate(seen.centre, seen.box, seen.probability, 0.0, "map")
    is_there = place.difference(candidate.place) <= place.tolerance + ROUNDING
    return place.item(one.planned, candidate, Verdict.MET if is_there else Verdict.CLOSE)


def _anywhere(one: _Wanted, scene: _Scene, index: int | None) -> ComparedItem:
    """Compare an element planned without a place, which only has to be in the frame."""
    name = one.planned.name
    found = None if index is None else scene.found[index]
    if found is not None and found.fits(one.kind) >= LEAST_MET:
        is_it = found.exists * found.fits(one.kind)
        verdict = Verdict.MET if is_it >= NOT_FOUND else Verdict.UNDECIDED
        return ComparedItem.of(
            "supporting",
            None,
            Place(found.place),
            verdict,
            element=name,
            match=Match(found.box, found.element, found.seen_as),
            doubt="" if verdict is Verdict.MET else "shape",
        )
    is_missing = scene.share < NOTHING_PLACED_SHARE
    verdict = Verdict.MISSED if is_missing else Verdict.UNDECIDED
    return ComparedItem.of("supporting", None, None, verdict, element=name)
