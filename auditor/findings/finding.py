"""One thing that needs attention, as data."""

from __future__ import annotations

from dataclasses import dataclass

from auditor.findings.codes import FindingCode
from auditor.values import Value, ValueKind


@dataclass(frozen=True, slots=True)
class Finding:
    """One thing that needs attention.

    Attributes
    ----------
    code : FindingCode
    files : tuple of str
        The pictures concerned; those of a group from the worst to the least. For an unreadable
        folder, the folder.
    severity : float
        Larger is graver, among findings of one code only.
    quantity, element, shot : str or None
        What it is about; the element is a supporting one.
    other_shots : tuple of str
        All shots that name the picture; the shot that took the picture of a missing one; the shot
        that is the second guess or fits better.
    kind : ValueKind or None
        Of value and expected, for planned items.
    value, expected : Value, float or None
        What was found and what it was held against: the plan, the centre of the set, or the
        largest group of the set.
    difference, tolerance : float or None
        In `unit`; the difference is value minus expected, or a distance.
    unit : str
    set_centre, set_deviation : float or None
        Where a picture that misses its plan also leaves the set in the same quantity.
    rule : str or None
        Of the plan for the set: its key; `value` is then the number of pictures that count. Of a
        hand-over: its key.
    channel : str or None
        Of a hand-over, whose rule it is.
    explained_by_exposure_ev : float or None
        How much lighter than the set the picture is, where that explains a miss in colour.
    """

    code: FindingCode
    files: tuple[str, ...] = ()
    severity: float = 0.0
    quantity: str | None = None
    element: str | None = None
    shot: str | None = None
    other_shots: tuple[str, ...] = ()
    kind: ValueKind | None = None
    value: Value | float | None = None
    expected: Value | float | None = None
    difference: float | None = None
    tolerance: float | None = None
    unit: str = ""
    set_centre: float | None = None
    set_deviation: float | None = None
    explained_by_exposure_ev: float | None = None
    rule: str | None = None
    channel: str | None = None
