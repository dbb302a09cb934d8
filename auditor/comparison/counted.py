"""Several things of one name: how many were found beside how many were planned.

A picture shows outlines, and things that touch have one. So one thing too few may be there all the
same, and one too many may be something else; the verdict is then undecided.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from auditor.accepted import Accepted
from auditor.comparison.candidates import Candidate, candidates
from auditor.comparison.dishes import Dishes
from auditor.comparison.item import ComparedItem, Doubt, Match, Verdict
from auditor.comparison.planned_place import PlannedPlace
from auditor.comparison.supporting import BEYOND_ZONE, LEAST_WEIGHT, NOT_FOUND
from auditor.comparison.verdicts import LEAST_MET, ROUNDING
from auditor.geometry import Box
from auditor.measurements.measured_photograph import MeasuredPhotograph
from auditor.plan.shot_plan import Intent, PlannedThing, Tolerances
from auditor.values import Count
from auditor.vocabulary.kinds import Kind, kind_of

# How many things of a kind may be there beside those found. On rendered tables 84 % of all things
# are found and 65 % of thin ones (`saliency/MODEL.md`): of three dishes one is not found in two
# pictures of five, two in one of sixteen; of three thin things two are not found in one of four.
UNSEEN = {Kind.LONG: 2}
UNSEEN_OF_OTHERS = 1
# Kinds that lie in groups: lemons, leaves. One outline may be any number of them.
_IN_GROUPS = frozenset({Kind.SMALL, Kind.UNKNOWN})


def compare_counted(
    intent: Intent, measured: MeasuredPhotograph, tolerances: Tolerances, taken: Sequence[Box]
) -> Iterator[ComparedItem]:
    """Compare each number of things with how many were found.

    Parameters
    ----------
    intent : Intent
    measured : MeasuredPhotograph
    tolerances : Tolerances
    taken : sequence of Box
        What other planned elements were taken to be.
    """
    counted = [one for one in intent.supporting if one.count is not None]
    if not counted:
        return
    found = [one for one in candidates(measured) if one.box not in taken]
    dishes = Dishes.of(measured)
    for planned in counted:
        place = PlannedPlace.of(planned, measured, tolerances.supporting, BEYOND_ZONE)
        here = [one for one in found if is_within(place, one)]
        yield _compared(planned, place, here, dishes)


def is_within(place: PlannedPlace | None, one: Candidate) -> bool:
    """Whether a thing is more likely at a place than not; True for one that may be anywhere."""
    return place is None or place.probability(one.place, one.spread) >= LEAST_MET - ROUNDING


def _compared(
    planned: PlannedThing, place: PlannedPlace | None, here: Sequence[Candidate], dishes: Dishes
) -> ComparedItem:
    kind, accepted = kind_of(planned.name or ""), planned.count
    if accepted is None:
        raise ValueError("a thing without a number cannot be counted")
    likely = [one for one in here if one.exists * one.fits(kind) >= NOT_FOUND - ROUNDING]
    n_possible = sum(one.exists * one.fits(kind) >= LEAST_WEIGHT for one in here)
    n_sure = sum(one.exists * dishes.share_of_kind(one, kind) >= LEAST_MET for one in likely)
    verdict, doubt = _verdict(kind, accepted, len(likely), n_possible, n_sure)
    return ComparedItem.of(
        "count",
        Count(accepted.nominal),
        Count(float(len(likely))),
        verdict,
        element=planned.name,
        difference=accepted.beyond(float(len(likely))),
        zone=None if place is None else place.zone,
        doubt=doubt,
        accepted=accepted,
        counted=tuple(Match(one.box, one.element, one.seen_as) for one in likely),
    )


def _verdict(
    kind: Kind, accepted: Accepted, n_likely: int, n_possible: int, n_sure: int
) -> tuple[Verdict, Doubt]:
    beyond = accepted.beyond(float(n_likely))
    if beyond == 0:
        return Verdict.MET, ""
    if beyond > 0:
        is_sure = accepted.beyond(float(n_sure)) > 0
        return (Verdict.MISSED, "") if is_sure else (Verdict.UNDECIDED, "others")
    if kind is Kind.SMALL:
        return Verdict.UNDECIDED, "small"
    if kind in _IN_GROUPS and n_possible:
        return Verdict.UNDECIDED, "touching"
    n_most = n_possible + UNSEEN.get(kind, UNSEEN_OF_OTHERS)
    if accepted.beyond(float(n_most)) < 0:
        return Verdict.MISSED, ""
    return Verdict.UNDECIDED, "touching"
