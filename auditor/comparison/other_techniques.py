"""Planned techniques that ask for something else than a place of the subject.

They have no distance from the subject: the verdict follows from the probability that the picture
has them.
"""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
from scipy.special import ndtr

from auditor.comparison.item import ComparedItem, Verdict
from auditor.comparison.verdicts import (
    doubt_of,
    spread_of,
    tolerance_beyond,
    verdict_of_absence,
    verdict_of_chance,
)
from auditor.measurements.measured_photograph import MeasuredPhotograph
from auditor.plan.shot_plan import Intent, Tolerances
from auditor.reasons import Reason
from auditor.values import Words
from auditor.vocabulary.techniques import (
    C_CURVE,
    DIAGONAL_ROW,
    LEADING_LINES,
    NEGATIVE_SPACE,
    ODD_NUMBER,
    S_CURVE,
    UNMEASURED_TECHNIQUES,
)

# Probability that a viewer sees lines or a curve that lead to the subject where none was found, in
# a picture for which they were planned. On 70 photographs of dishes by many hands a viewer marked
# leading lines in 21, in 13 surely; 12 of these, 4 of the sure ones, were not found, and none was
# found elsewhere. With odds of 2 that what is planned is there this is 0.38 to 0.53.
UNSEEN_LEADING_LINES = 0.45
# Probability that the number of things found is not what a viewer counts: a garnish is a thing to
# one and part of the dish to another (no source).
COUNT_DOUBT = 0.3
# From this share of the frame on, emptiness is what a picture is made with: half of all finished
# pictures of dishes have 0.42 and more, one in four 0.55 (our choice; 40 pictures by many hands).
NEGATIVE_SPACE_FRACTION = 0.5

LEAST_SPREAD = 1e-6  # of a share that is known exactly, so that it can be divided by

_Compare = Callable[[Intent, MeasuredPhotograph, Tolerances], ComparedItem]


def compare_other_technique(
    planned: str, intent: Intent, measured: MeasuredPhotograph, tolerances: Tolerances
) -> ComparedItem | None:
    """Compare a technique by what shows it; None for one that asks for a place of the subject."""
    compare = _COMPARED.get(planned)
    if compare is not None:
        return compare(intent, measured, tolerances)
    return _item(planned, None, Verdict.UNDECIDED) if planned in UNMEASURED_TECHNIQUES else None


def _item(planned: str, found: str | None, verdict: Verdict) -> ComparedItem:
    measured = None if found is None else Words(found)
    return ComparedItem.of("technique", Words(planned), measured, verdict)


def _leading_lines(_: Intent, measured: MeasuredPhotograph, __: Tolerances) -> ComparedItem:
    return _lines(LEADING_LINES, measured, kinds=("lines", "arc", "S-curve"))


def _s_curve(_: Intent, measured: MeasuredPhotograph, __: Tolerances) -> ComparedItem:
    return _lines(S_CURVE, measured, kinds=("S-curve",))


def _c_curve(_: Intent, measured: MeasuredPhotograph, __: Tolerances) -> ComparedItem:
    return _lines(C_CURVE, measured, kinds=("arc",))


def _lines(planned: str, measured: MeasuredPhotograph, kinds: tuple[str, ...]) -> ComparedItem:
    found = measured.leading_lines
    if found.value is None:
        is_absent = found.reason is Reason.NO_LEADING_LINES
        absent = verdict_of_absence(UNSEEN_LEADING_LINES)
        return _item(planned, None, absent if is_absent else Verdict.UNDECIDED)
    if found.value.kind in kinds:
        return _item(planned, planned, verdict_of_chance(1.0, doubt_of(found)))
    return _item(planned, LEADING_LINES, verdict_of_chance(0.0, doubt_of(found)))


def _diagonal_row(_: Intent, measured: MeasuredPhotograph, __: Tolerances) -> ComparedItem:
    found = measured.diagonal
    if found.value is not None:
        is_row = found.value.drawn_by == "arrangement"
        verdict = verdict_of_chance(1.0, doubt_of(found)) if is_row else Verdict.UNDECIDED
        return _item(DIAGONAL_ROW, DIAGONAL_ROW if is_row else None, verdict)
    if found.reason is not Reason.NO_DIAGONAL:
        return _item(DIAGONAL_ROW, None, Verdict.UNDECIDED)
    unseen = measured.unseen_diagonals
    return _item(DIAGONAL_ROW, None, verdict_of_absence(max(unseen.rising, unseen.falling)))


def _odd_number(_: Intent, measured: MeasuredPhotograph, __: Tolerances) -> ComparedItem:
    if measured.subject.value is None:
        return _item(ODD_NUMBER, None, Verdict.UNDECIDED)
    is_there = np.array([1 - doubt_of(thing) for thing in (measured.subject, *measured.elements)])
    # The probability of an odd number of independent things that are there.
    odd = float((1 - np.prod(1 - 2 * is_there)) / 2)
    return _by_chance(ODD_NUMBER, odd, COUNT_DOUBT)


def _negative_space(
    intent: Intent, measured: MeasuredPhotograph, tolerances: Tolerances
) -> ComparedItem:
    found, planned = measured.negative_space, intent.negative_space
    if found.value is None:
        return _item(NEGATIVE_SPACE, None, Verdict.UNDECIDED)
    least = NEGATIVE_SPACE_FRACTION
    if planned is not None:
        # As much as meets the planned share.
        allowed = tolerance_beyond(planned, tolerances.negative_space)
        least = min(end for end, _ in planned.spans) - allowed
    spread = max(spread_of(found), LEAST_SPREAD)
    enough = float(ndtr((found.value.fraction - least) / spread))
    return _by_chance(NEGATIVE_SPACE, enough, doubt_of(found))


def _by_chance(planned: str, within: float, doubt: float) -> ComparedItem:
    verdict = verdict_of_chance(within, doubt)
    return _item(planned, planned if verdict is Verdict.MET else None, verdict)


_COMPARED: dict[str, _Compare] = {
    LEADING_LINES: _leading_lines,
    S_CURVE: _s_curve,
    C_CURVE: _c_curve,
    DIAGONAL_ROW: _diagonal_row,
    ODD_NUMBER: _odd_number,
    NEGATIVE_SPACE: _negative_space,
}
