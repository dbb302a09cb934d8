"""A measured value with the probability that it is right, or the reason for its absence."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Generic, TypeVar

from auditor.reasons import Reason

Value = TypeVar("Value")


@dataclass(frozen=True, slots=True)
class Quantity(Generic[Value]):
    """One estimated quantity.

    Attributes
    ----------
    value : object or None
        What was measured; None where it could not be told.
    confidence : float or None
        Probability, in [0, 1], that the error of `value` is at most `tolerance`.
    tolerance : float or None
        In the unit of the value's main number (its docstring says which).
    reason : Reason or None
        Why there is no value; None exactly where there is one.
    """

    value: Value | None
    confidence: float | None
    tolerance: float | None
    reason: Reason | None

    def __post_init__(self) -> None:
        if (self.value is None) == (self.reason is None):
            raise ValueError("a quantity has either a value or a reason")
        if self.confidence is not None and not 0 <= self.confidence <= 1:
            raise ValueError(f"confidence {self.confidence} is not a probability")

    @classmethod
    def measured(cls, value: Value, *, confidence: float, tolerance: float) -> Quantity[Value]:
        """Make a quantity that could be told."""
        return cls(value, float(confidence), float(tolerance), None)

    @classmethod
    def undetermined(cls, reason: Reason) -> Quantity[Value]:
        """Make a quantity that could not be told."""
        return cls(None, None, None, reason)
