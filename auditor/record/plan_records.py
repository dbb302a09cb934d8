"""The models of a picture beside its plan, and of what would help it."""

from __future__ import annotations

from typing import Literal

from pydantic import Field

from auditor.record.base import Fraction, HexColour, Record, Rectangle
from auditor.values import Value, ValueKind, value_of_kind

Verdict = Literal["met", "close", "missed", "undecided"]
VERDICTS: tuple[Verdict, ...] = ("met", "close", "missed", "undecided")
PlainRecord = float | str | list[float] | list[str] | None


class PlannedColourRecord(Record):
    """A planned colour and the measured one nearest to it, with its share of the frame."""

    planned: HexColour
    found: bool
    nearest: HexColour
    name: str
    difference: float
    share: Fraction


class ItemRecord(Record):
    """One planned item beside its measurement.

    `element` names a supporting element, and is null for every other quantity. `kind` says what
    `planned` and `measured` are: a place is [x, y], an angle is in degrees, a clock position in
    hours. A supporting element that was planned without a place has null for `planned`. `colours`
    holds each planned colour of a palette.
    """

    quantity: str
    element: str | None = None
    kind: ValueKind
    planned: PlainRecord
    measured: PlainRecord
    difference: float | None
    tolerance: float | None
    unit: str
    verdict: Verdict
    colours: list[PlannedColourRecord] = Field(default_factory=list)

    @property
    def planned_value(self) -> Value | None:
        """What was planned, with its kind."""
        return value_of_kind(self.kind, self.planned)

    @property
    def measured_value(self) -> Value | None:
        """What was measured, with its kind."""
        return value_of_kind(self.kind, self.measured)


class PicturePlanRecord(Record):
    """A picture beside its shot."""

    shot: str
    items: list[ItemRecord]


class AdviceRecord(Record):
    """One thing to do to a finished picture.

    `reaches` are planned quantities that would then be met, `rejoins` quantities of the set that
    the picture would then no longer leave.
    """

    kind: Literal["crop", "rotate", "colour temperature", "exposure"]
    amount: float
    unit: str
    crop: Rectangle | None
    reaches: list[str]
    rejoins: list[str] = Field(default_factory=list)
