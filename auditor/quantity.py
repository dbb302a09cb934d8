"""A measured value with its confidence, or the reason why there is none."""

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
        The measured value; None if there is none.
    confidence : float or None
        Probability, in [0, 1], that the error of `value` is at most `tolerance`.
    tolerance : float or None
        In the unit of the value's main number, which its docstring names.
    reason : Reason or None
        Why there is no value; None if there is one.
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
        """Make a quantity that has a value."""
        return cls(value, float(confidence), float(tolerance), None)

    @classmethod
    def undetermined(cls, reason: Reason) -> Quantity[Value]:
        """Make a quantity without a value."""
        return cls(None, None, None, reason)
