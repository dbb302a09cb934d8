"""Negative space: how much of the frame stays empty, and on which side."""

from __future__ import annotations

from collections.abc import Callable, Iterator

from scipy.special import ndtr

from auditor.accepted import Accepted
from auditor.comparison.item import ComparedItem, Verdict
from auditor.comparison.verdicts import (
    CLOSE_WITHIN,
    doubt_of,
    probability_accepted,
    spread_of,
    tolerance_beyond,
    verdict_of,
    verdict_of_chance,
)
from auditor.measurements.measured_photograph import MeasuredPhotograph
from auditor.measurements.negative_space import (
    NO_SPACE_FRACTION,
    SIDE_IMBALANCE,
    Emptiness,
    NegativeSpace,
    doubt_of_pattern,
    sides_of,
)
from auditor.plan.shot_plan import Intent, Tolerances
from auditor.quantity import Quantity
from auditor.values import Fraction, Words
from auditor.vocabulary.sides import BOTH_SIDES, EITHER_SIDE, PlannedSide, Side, sides_of_planned

# Spread of the imbalance between two halves of a right reading (no source).
_SIDE_SPREAD = 0.05


def compare_negative_space(
    intent: Intent, measured: MeasuredPhotograph, tolerances: Tolerances
) -> Iterator[ComparedItem]:
    """Compare the share of the frame that stays empty, and on which side most of it lies."""
    found = measured.negative_space
    if intent.negative_space is not None:
        yield _fraction(intent.negative_space, found, tolerances.negative_space)
    if intent.negative_space_sides:
        yield _side(intent.negative_space_sides, found)


def _fraction(accepted: Accepted, found: Quantity[NegativeSpace], tolerance: float) -> ComparedItem:
    """Compare the share; a positive difference is too much.

    Where patterned ground makes a difference, the plan may mean the share with or without it.
    """
    space, planned = found.value, Fraction(accepted.nominal)
    allowed = tolerance_beyond(accepted, tolerance)
    if space is None:
        return ComparedItem.unmeasured(
            "negative_space", planned, tolerance=allowed, accepted=accepted
        )
    difference = accepted.beyond(space.fraction)
    within = _mean_of_views(
        space,
        lambda view: probability_accepted(accepted, view.fraction, allowed, spread_of(found)),
    )
    return ComparedItem.of(
        "negative_space",
        planned,
        Fraction(space.fraction),
        verdict_of(difference, allowed, within, _doubt_of_things(found, space)),
        difference=difference,
        tolerance=allowed,
        accepted=accepted,
    )


def _mean_of_views(space: NegativeSpace, chance: Callable[[Emptiness], float]) -> float:
    """A probability over both views of patterned ground."""
    whole, plain = space.views
    doubt = doubt_of_pattern(space)
    return (1 - doubt) * chance(whole) + doubt * chance(plain)


def _doubt_of_things(found: Quantity[NegativeSpace], space: NegativeSpace) -> float:
    """Doubt without that of the pattern, which `_mean_of_views` takes into account."""
    return 1 - (1 - doubt_of(found)) / (1 - doubt_of_pattern(space))


def _side(planned: tuple[PlannedSide, ...], found: Quantity[NegativeSpace]) -> ComparedItem:
    """Compare the side by how much more of the emptiness lies there than opposite.

    Two sides can have more at once: emptiness at the upper left is on the left and at the top.
    Emptiness on both sides is close to any one side, and the reverse. Of several planned sides one
    has to be empty.
    """
    space = found.value
    wanted = Words(EITHER_SIDE if set(planned) == {"left", "right"} else " or ".join(planned))
    planned = tuple(_as_measured(side) for side in planned)
    if space is None:
        return ComparedItem.unmeasured("negative_space_side", wanted)
    spread = spread_of(found)
    within = _mean_of_views(
        space, lambda view: max(_chance_of_side(side, view, spread) for side in planned)
    )
    verdict = verdict_of_chance(within, _doubt_of_things(found, space))
    seen = [side for side in planned if _has_side(side, space.whole)]
    is_meant = space.is_patterned and any(_has_side(side, space.views[1]) for side in planned)
    # The sides that the record names and the verdict must not contradict each other.
    if (bool(seen) or is_meant) != (verdict is Verdict.MET):
        verdict = Verdict.UNDECIDED
    elif verdict is Verdict.MISSED and any(_is_side_close(side, space) for side in planned):
        verdict = Verdict.CLOSE
    shown = seen[0] if seen else planned[0] if verdict is Verdict.MET else space.side
    return ComparedItem.of("negative_space_side", wanted, Words(shown), verdict)


def _as_measured(planned: PlannedSide) -> PlannedSide:
    """The side as a measurement names it: on both sides at once is "around"."""
    return "around" if planned == BOTH_SIDES else planned


def _has_side(planned: PlannedSide, space: Emptiness) -> bool:
    """Whether the sides that are named for an emptiness include the planned one."""
    return {*sides_of_planned(planned)} <= {*sides_of(space)}


def _towards(planned: PlannedSide, space: Emptiness) -> float:
    """How much more of the emptiness lies on a side than opposite; the lesser of a corner."""
    each: dict[Side, float] = {
        "right": space.to_right,
        "left": -space.to_right,
        "bottom": space.to_bottom,
        "top": -space.to_bottom,
    }
    return min(each[side] for side in sides_of_planned(planned))


def _chance_of_side(planned: PlannedSide, space: Emptiness, spread: float) -> float:
    """Probability that the emptiness lies on the planned side, if the reading is right.

    `spread` is that of the fraction.
    """
    is_some = float(ndtr((space.fraction - NO_SPACE_FRACTION) / spread))
    if planned == "none":
        return 1 - is_some
    if planned == "around":
        most = max(abs(space.to_right), abs(space.to_bottom))
        return is_some * float(ndtr((SIDE_IMBALANCE - most) / _SIDE_SPREAD))
    return is_some * float(ndtr((_towards(planned, space) - SIDE_IMBALANCE) / _SIDE_SPREAD))


def _is_side_close(planned: PlannedSide, space: NegativeSpace) -> bool:
    if planned == "none":
        return space.fraction < CLOSE_WITHIN * NO_SPACE_FRACTION
    if space.side == "none":
        return False
    if planned == "around":
        return max(abs(space.to_right), abs(space.to_bottom)) < 2 * SIDE_IMBALANCE
    return _towards(planned, space.whole) >= 0
