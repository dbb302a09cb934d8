"""What the registry says of a quantity."""

from __future__ import annotations

from dataclasses import dataclass

from auditor.reasons import Reason
from auditor.values import ValueKind


@dataclass(frozen=True, slots=True)
class ToleranceRule:
    """How far a picture may be from its plan.

    Attributes
    ----------
    default : float
        In the quantity's unit.
    most : float
        The largest that a plan may write; with more, every picture would do.
    reason : str
        Why the default is as it is, with its source.
    """

    default: float
    most: float
    reason: str


@dataclass(frozen=True, slots=True)
class SetRule:
    """How a quantity is followed over a set.

    Attributes
    ----------
    noticeable : float
        A smaller deviation is never reported: people would not see it, or it is ordinary variety.
    least_spread : float
        A set cannot be more even than the quantity can be measured.
    unit : str
        Of both; empty where it is the quantity's own.
    higher_is_fault, lower_is_fault : bool
        Whether a picture above, or below, the rest of the set is reported.
    circular : bool
        True for clock positions.
    varied_on_purpose : bool
        True for what is often shot in several ways on purpose, so that the middle may say nothing.
    """

    noticeable: float
    least_spread: float
    unit: str = ""
    higher_is_fault: bool = True
    lower_is_fault: bool = True
    circular: bool = False
    varied_on_purpose: bool = False


@dataclass(frozen=True, slots=True)
class QuantityEntry:
    """Everything that is fixed about one quantity.

    Attributes
    ----------
    name : str
        In ``audit.json``, in the tables and in the code.
    title : str
        On the page.
    unit : str
        Of a difference and of the tolerance, as in ``audit.json``.
    decimals : int
        With which a value is shown, on the scale that the unit is shown in (a share as per cent).
    higher, lower : str
        What a picture with a larger, or smaller, value is: ``"warmer"``. Empty where the quantity
        has no direction.
    planned_as : tuple of ValueKind
        The kinds of value that a plan may give; empty for what cannot be planned.
    tolerance : ToleranceRule or None
        None for what has no distance (a word is met or not) or cannot be planned.
    set_rule : SetRule or None
        None for what is not followed over the set.
    reasons : tuple of Reason
        Why a picture may have no value.
    reason_of : str
        The quantity whose reason explains the absence of this one; empty for its own.
    """

    name: str
    title: str
    unit: str
    decimals: int
    higher: str = ""
    lower: str = ""
    planned_as: tuple[ValueKind, ...] = ()
    tolerance: ToleranceRule | None = None
    set_rule: SetRule | None = None
    reasons: tuple[Reason, ...] = ()
    reason_of: str = ""
