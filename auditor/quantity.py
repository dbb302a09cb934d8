"""A measured value with its uncertainty, or the reason why there is none.

The uncertainty has two parts. A right reading has a small error, with a spread that is typical of
its kind. A wrong one has taken something else for what was measured: another dish for the subject,
a shadow for a line. A single probability cannot tell a plate's angle that is known to 3 degrees, if
the ellipse is a plate, from one known to 10 degrees in any case; whether a picture meets its plan
depends on which it is.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Generic, TypeVar

from scipy.special import chdtr, chdtri

from auditor.reasons import Reason

Value = TypeVar("Value")

# Spread of a right reading where none is stated, in tolerances: it is then within its tolerance in
# 997 of 1000 cases along a line (normal distribution).
USUAL_SPREAD = 1 / 3
MOST_DOUBT = 0.5  # a reading that is more likely wrong than right decides nothing
# Higher confidences are taken for this one, which keeps the spread above 0.
MOST_CONFIDENCE = 0.999


@dataclass(frozen=True, slots=True)
class Quantity(Generic[Value]):
    """One estimated quantity.

    Attributes
    ----------
    value : object or None
        The measured value; None if there is none.
    confidence : float or None
        Probability, in [0, 1], that the error of `value` is at most `tolerance`. It follows from
        `spread` and `doubt`.
    tolerance : float or None
        In the unit of the value's main number, which its docstring names.
    reason : Reason or None
        Why there is no value; None if there is one.
    spread : float or None
        Standard deviation of the error along each of its dimensions, if the reading is right; in
        the unit of `tolerance`.
    doubt : float or None
        Probability, in [0, 1], that the reading is wrong altogether.
    """

    value: Value | None
    confidence: float | None
    tolerance: float | None
    reason: Reason | None
    spread: float | None = None
    doubt: float | None = None

    def __post_init__(self) -> None:
        if (self.value is None) == (self.reason is None):
            raise ValueError("a quantity has either a value or a reason")
        if self.confidence is not None and not 0 <= self.confidence <= 1:
            raise ValueError(f"confidence {self.confidence} is not a probability")

    @classmethod
    def measured(
        cls,
        value: Value,
        *,
        confidence: float,
        tolerance: float,
        spread: float | None = None,
        dimensions: int = 1,
    ) -> Quantity[Value]:
        """Make a quantity from a calibrated confidence and the spread of right readings.

        What the spread does not explain of the confidence is doubt. A confidence higher than the
        spread allows leaves no doubt and means a smaller spread.

        Parameters
        ----------
        value : object
        confidence : float
            Probability, in [0, 1], that the error is at most `tolerance`.
        tolerance : float
        spread : float, optional
            By default `USUAL_SPREAD` times the tolerance.
        dimensions : int
            Of the error: 1 along a line, 2 in the frame, 3 in colour space.
        """
        if not 0 <= confidence <= 1:
            raise ValueError(f"confidence {confidence} is not a probability")
        spread = USUAL_SPREAD * tolerance if spread is None else spread
        within = probability_within_tolerance(tolerance, spread, dimensions)
        doubt = 0.0
        if confidence <= within:
            doubt = 1 - confidence / within
        else:
            spread = spread_of_confidence(confidence, tolerance, dimensions)
        return cls(value, float(confidence), float(tolerance), None, float(spread), float(doubt))

    @classmethod
    def undetermined(cls, reason: Reason) -> Quantity[Value]:
        """Make a quantity without a value."""
        return cls(None, None, None, reason)


def probability_within_tolerance(tolerance: float, spread: float, dimensions: int = 1) -> float:
    """Probability that a normal error with this spread is at most the tolerance."""
    if spread <= 0:
        return 1.0
    return float(chdtr(dimensions, (tolerance / spread) ** 2))


def spread_of_confidence(confidence: float, tolerance: float, dimensions: int = 1) -> float:
    """Spread with which a normal error is at most the tolerance with this probability.

    Infinite for a confidence of 0.
    """
    n_spreads = math.sqrt(float(chdtri(dimensions, 1 - min(confidence, MOST_CONFIDENCE))))
    return tolerance / n_spreads if n_spreads > 0 else math.inf
