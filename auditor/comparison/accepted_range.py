"""Compare a number with what the plan accepts: a value, a range, or several."""

from __future__ import annotations

from collections.abc import Callable

from auditor.accepted import Accepted
from auditor.comparison.item import ComparedItem
from auditor.comparison.verdicts import (
    probability_accepted,
    probability_accepted_round,
    tolerance_beyond,
    verdict_of,
)
from auditor.values import Value


def compare_number(
    quantity: str,
    accepted: Accepted,
    found: float | None,
    tolerance: float,
    kind: Callable[[float], Value],
    *,
    spread: float = 0.0,
    doubt: float = 0.0,
    period: float | None = None,
) -> ComparedItem:
    """Compare a number.

    Parameters
    ----------
    quantity : str
    accepted : Accepted
    found : float or None
        As measured.
    tolerance : float
        Of a single value; beyond a range, a part of it is allowed.
    kind : callable
        The type of the value.
    spread : float
        Standard deviation of a right reading; 0 is an exact one.
    doubt : float
        Probability that the reading is wrong.
    period : float or None
        Of a direction, which repeats.
    """
    allowed = tolerance_beyond(accepted, tolerance)
    planned = kind(accepted.nominal)
    if found is None:
        return ComparedItem.unmeasured(quantity, planned, tolerance=allowed, accepted=accepted)
    if period is None:
        difference = accepted.beyond(found)
        within = probability_accepted(accepted, found, allowed, spread)
    else:
        difference = accepted.beyond_round(found, period)
        within = probability_accepted_round(accepted, found, allowed, spread, period)
    return ComparedItem.of(
        quantity,
        planned,
        kind(found),
        verdict_of(difference, allowed, within, doubt),
        difference=difference,
        tolerance=allowed,
        accepted=accepted,
    )
