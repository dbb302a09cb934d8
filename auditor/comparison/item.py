"""One planned item beside its measurement, and the four verdicts on it."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from typing import Literal

from auditor.accepted import Accepted
from auditor.geometry import Box
from auditor.quantities import QUANTITIES
from auditor.values import Value, ValueKind
from auditor.vocabulary.zones import Zone

# Why a supporting element is undecided, where it is known: what lies at its place does not look
# like it, or something covers the place.
Doubt = Literal["", "shape", "covered"]


class Verdict(StrEnum):
    """Whether a picture meets its plan in one item."""

    MET = "met"
    CLOSE = "close"
    MISSED = "missed"
    UNDECIDED = "undecided"


@dataclass(frozen=True, slots=True)
class PlannedColour:
    """A planned colour and the measured one nearest to it.

    Attributes
    ----------
    planned, nearest : str
        ``#rrggbb``.
    found : bool
        Whether the nearest lies within the tolerance.
    name : str
        Of the nearest: the named colour of CSS that is nearest to it.
    difference : float
        CIEDE2000.
    share : float
        Share of the frame that the nearest covers.
    """

    planned: str
    found: bool
    nearest: str
    name: str
    difference: float
    share: float


@dataclass(frozen=True, slots=True)
class Match:
    """What a planned element was taken to be.

    Attributes
    ----------
    bbox : Box
    element : int or None
        Index among the picture's elements; None for something that is not among them.
    seen_as : str
        An outline; two edges, as of a spoon; or the map of placed things alone.
    """

    bbox: Box
    element: int | None
    seen_as: Literal["outline", "edges", "map"]


@dataclass(frozen=True, slots=True)
class ComparedItem:
    """One planned item beside its measurement.

    Attributes
    ----------
    quantity : str
        A name from `auditor.quantities.PLANNED`.
    element : str or None
        Name of the supporting element; None for every other quantity.
    kind : ValueKind
        Of `planned` and of `measured`.
    planned : Value or None
        None for a supporting element that may be anywhere in the frame.
    measured : Value or None
        None where nothing was measured, and where what was planned was not found. Then `verdict`
        is missed if it is certain enough that it is not there. Also None if the subject is away
        from the planned technique and near to no other one.
    difference : float or None
        A distance, which is not negative (beyond the zone, for a place in words), or measured minus
        planned, which has a sign. None where
        nothing was measured and where there is no such number: between words, and for a technique
        that the picture does not show at all.
    tolerance : float or None
        In `unit`; None where there is no difference to hold against it.
    unit : str
        Of difference and tolerance, from the registry; empty without a tolerance.
    verdict : Verdict
    colours : tuple of PlannedColour
        Each colour of a planned palette; empty for every other quantity.
    zone : Zone or None
        What a place in words means in this picture; None for a place in numbers and for every other
        quantity.
    match : Match or None
        What a supporting element was taken to be; None if it was not found.
    doubt : str
        Why a supporting element is undecided; empty for others.
    accepted : Accepted or None
        What is as planned, for a number; None for every other kind.
    """

    quantity: str
    element: str | None
    kind: ValueKind
    planned: Value | None
    measured: Value | None
    difference: float | None
    tolerance: float | None
    unit: str
    verdict: Verdict
    colours: tuple[PlannedColour, ...] = ()
    zone: Zone | None = None
    match: Match | None = None
    doubt: Doubt = ""
    accepted: Accepted | None = None

    @classmethod
    def of(
        cls,
        quantity: str,
        planned: Value | None,
        measured: Value | None,
        verdict: Verdict,
        *,
        element: str | None = None,
        difference: float | None = None,
        tolerance: float | None = None,
        colours: tuple[PlannedColour, ...] = (),
        zone: Zone | None = None,
        match: Match | None = None,
        doubt: Doubt = "",
        accepted: Accepted | None = None,
    ) -> ComparedItem:
        """Make an item, with its kind and unit from the planned value and the registry."""
        entry = QUANTITIES[quantity]
        return cls(
            quantity=quantity,
            element=element,
            kind=entry.planned_as[0] if planned is None else planned.kind,
            planned=planned,
            measured=measured,
            difference=difference,
            tolerance=tolerance,
            unit="" if tolerance is None else entry.unit,
            verdict=verdict,
            colours=colours,
            zone=zone,
            match=match,
            doubt=doubt,
            accepted=accepted,
        )

    @classmethod
    def unmeasured(
        cls,
        quantity: str,
        planned: Value | None,
        *,
        tolerance: float | None = None,
        zone: Zone | None = None,
        accepted: Accepted | None = None,
    ) -> ComparedItem:
        """Make the item of something that was planned and could not be measured."""
        return cls.of(
            quantity,
            planned,
            None,
            Verdict.UNDECIDED,
            tolerance=tolerance,
            zone=zone,
            accepted=accepted,
        )
