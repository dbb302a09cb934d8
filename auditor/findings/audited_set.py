"""Everything known about a set, from which its findings are gathered."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from auditor.advice.advice import Advice
from auditor.comparison.item import ComparedItem
from auditor.comparison.keeping import Rank
from auditor.comparison.matching import Assumed, Matches
from auditor.comparison.set_rules import JudgedRule
from auditor.delivery.judged import JudgedRule as DeliveryRule
from auditor.measurements.measured_photograph import MeasuredPhotograph
from auditor.runs.outcome import RefusedPicture
from auditor.series.kind import KindOfSet
from auditor.series.portfolio import Portfolio
from auditor.series.series import Series


@dataclass(frozen=True, slots=True)
class PlannedPicture:
    """A picture beside its shot.

    Attributes
    ----------
    shot : str
    items : tuple of ComparedItem
    mirrored : bool
        Whether it was compared with the mirror image of the planned composition.
    assumed : Assumed or None
        None if a shot names the picture.
    rank : Rank or None
        None if it is the only picture of its shot.
    """

    shot: str
    items: tuple[ComparedItem, ...]
    mirrored: bool = False
    assumed: Assumed | None = None
    rank: Rank | None = None


@dataclass(frozen=True, slots=True)
class AuditedSet:
    """The pictures with their plan, their advice and the set that they form.

    Attributes
    ----------
    pictures : sequence of MeasuredPhotograph or RefusedPicture
        In the order of the set.
    planned : mapping of str to PlannedPicture
        By file; empty without a plan.
    advice : mapping of str to tuple of Advice
        By file.
    matches : Matches or None
        None without a plan.
    series : Series
    kind : KindOfSet
        How the pictures belong together.
    unreadable_folders : sequence of str
        Sub-folders whose pictures are unknown.
    rules : sequence of JudgedRule
        The plan's rules for the set.
    delivery : sequence of JudgedRule or None
        The rules of a hand-over; None where there are none.
    portfolio : Portfolio or None
        Only of a portfolio.
    """

    pictures: Sequence[MeasuredPhotograph | RefusedPicture]
    planned: Mapping[str, PlannedPicture]
    advice: Mapping[str, tuple[Advice, ...]]
    matches: Matches | None
    series: Series
    kind: KindOfSet
    unreadable_folders: Sequence[str] = ()
    rules: Sequence[JudgedRule] = ()
    delivery: Sequence[DeliveryRule] | None = None
    portfolio: Portfolio | None = None
