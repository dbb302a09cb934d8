"""Whether a picture meets what a draft would state about it, by the comparison of an audit."""

from __future__ import annotations

import json
from collections.abc import Iterable
from dataclasses import dataclass
from functools import lru_cache
from typing import Any

from auditor.comparison.colours import temperature_alone
from auditor.comparison.compare import compare
from auditor.comparison.item import ComparedItem, Verdict
from auditor.measurements.measured_photograph import MeasuredPhotograph
from auditor.plan.inheritance import plan_from_written
from auditor.plan.models import WrittenPlan
from auditor.plan.shot_plan import Plan
from auditor.plan_draft.draft import Entry, PlanDraft, ShotDraft
from auditor.quantity import Quantity

# Confidence from which on a measurement is stated: at least twice as likely right as wrong (our
# choice, no source). Few lights and empty spaces of photographs reach more.
LEAST_CONFIDENCE = 0.65


@dataclass(frozen=True, slots=True)
class SeenPicture:
    """A measured picture as an audit of its set compares it.

    Attributes
    ----------
    measured : MeasuredPhotograph
    mired : Quantity of float or None
        Its colour temperature by what it shares with the set; None takes that of the picture alone.
    least_confidence : float
        From which on a measurement is sure enough to be stated.
    """

    measured: MeasuredPhotograph
    mired: Quantity[float] | None = None
    least_confidence: float = LEAST_CONFIDENCE

    def is_sure(self, quantity: Quantity[Any]) -> bool:
        """Whether one of its measurements is sure enough to be stated."""
        return quantity.value is not None and (quantity.confidence or 0.0) >= self.least_confidence

    @property
    def temperature(self) -> Quantity[float]:
        """Its colour temperature in mired, as an audit of its set compares it."""
        return temperature_alone(self.measured) if self.mired is None else self.mired

    def compared(self, entries: Iterable[Entry]) -> tuple[ComparedItem, ...]:
        """The picture beside a shot with these entries."""
        plan = _plan_of_one(tuple((entry.key, json.dumps(entry.plain)) for entry in entries))
        return compare(plan.shots[0], self.measured, plan.tolerances, self.mired)

    def meets(self, *entries: Entry) -> bool:
        """Whether there is something to compare, and all of it is met."""
        items = self.compared(entries)
        return bool(items) and all(item.verdict is Verdict.MET for item in items)

    def may_meet(self, *entries: Entry) -> bool:
        """Whether nothing of it is close or missed."""
        accepted = {Verdict.MET, Verdict.UNDECIDED}
        return all(item.verdict in accepted for item in self.compared(entries))


@lru_cache(maxsize=1024)
def _plan_of_one(values: tuple[tuple[str, str], ...]) -> Plan:
    """A plan of one shot from keys and values as JSON; one value is tried on many pictures."""
    entries = tuple(Entry(key, json.loads(value)) for key, value in values)
    return plan_of(PlanDraft((), "", (), (ShotDraft("shot", ("*",), entries),)))


def plan_of(draft: PlanDraft) -> Plan:
    """What a draft means once it is read."""
    shots = [
        {
            "name": shot.name,
            "files": list(shot.files),
            **_stated(shot.entries),
        }
        for shot in draft.shots
    ]
    written = {"series": _stated(draft.series), "shot": shots}
    return plan_from_written(WrittenPlan.model_validate(written))


def _stated(entries: Iterable[Entry]) -> dict[str, Any]:
    return {entry.key: entry.plain for entry in entries if entry.is_stated}
