"""What the registry states about a quantity."""

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
        In the unit of the quantity. A plan may replace it.
    most : float
        The largest value that a plan may set; with a larger one every picture would pass.
    reason : str
        Why the default has this value, with its source.
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
        The smallest spread that is assumed: the quantity cannot be measured more precisely.
    reason : str
        Why `noticeable` has this value, with its source.
    usual_spread : float or None
        What sets usually spread by, which a small set is held against; None for a quantity that
        often varies on purpose, or of which it is not known.
    unit : str
        Of `noticeable` and `least_spread`; empty if it is the unit of the quantity.
    higher_is_fault, lower_is_fault : bool
        Whether a picture above, or below, the rest of the set is reported.
    circular : bool
        True for clock positions.
    read_from : tuple of str or None
        The field of `MeasuredPhotograph` and the attribute of its value from which the quantity is
        read; None if it is read in another way, see `auditor.series`.
    must_exceed_tolerance : bool
        Whether the deviation of an outlier must exceed the tolerance of its own measurement too.
    varied_as : str
        What such a set shows ("Several angles"), for a quantity that often differs from picture to
        picture on purpose, so that the centre of a set may describe none of its pictures. Empty
        for other quantities.
    """

    noticeable: float
    least_spread: float
    reason: str
    usual_spread: float | None = None
    unit: str = ""
    higher_is_fault: bool = True
    lower_is_fault: bool = True
    circular: bool = False
    varied_as: str = ""
    read_from: tuple[str, str] | None = None
    must_exceed_tolerance: bool = False


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
        Decimals of a displayed value, on the scale of the displayed unit (a share in per cent).
    higher, lower : str
        What a picture with a larger, or smaller, value is: ``"warmer"``. Empty if the quantity
        has no direction.
    planned_as : tuple of ValueKind
        The kinds of value that a plan may give; empty for a quantity that cannot be planned.
    tolerance : ToleranceRule or None
        None for a quantity without a distance (a word matches or not), or that cannot be planned.
    set_rule : SetRule or None
        None for a quantity that is not followed over the set.
    reasons : tuple of Reason
        The quantity's own reasons for having no value.
    reason_of : str
        Another quantity on which this one depends: without a value there, there is none here, for
        the same reason. Empty if there is none.
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
