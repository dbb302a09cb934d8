"""The models of a picture beside its plan, and of what would help it."""

from __future__ import annotations

from typing import Literal, Self

from pydantic import Field, model_validator

from auditor.record.base import Fraction, HexColour, QuantityName, Record, Rectangle
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


class ZoneRecord(Record):
    """What a place in words means in this picture: its name, and the part of the frame."""

    words: str
    boxes: list[Rectangle]


class AcceptedRecord(Record):
    """What is as planned where that is not one number: its words, and each least and most."""

    words: str
    spans: list[tuple[float, float]]


class MatchRecord(Record):
    """What a supporting element was taken to be.

    `element` is its index in `elements` of the picture; null for something that is not among them:
    two long edges, as of a spoon, or what only the map of placed things shows.
    """

    bbox: Rectangle
    element: int | None
    seen_as: Literal["outline", "edges", "map"]


class ItemRecord(Record):
    """One planned item beside its measurement.

    `element` names a supporting element, and is null for every other quantity. `kind` says what
    `planned` and `measured` are: a place is [x, y], an angle is in degrees, a clock position in
    hours. A supporting element that was planned without a place has null for `planned`. A place in
    words has its `zone`: then `planned` is the position that stands for it, and `difference` is the
    distance beyond the zone, 0 inside it. A range, several values or a word that means one have
    `accepts`: then `planned` is the value that stands for them. `match` says what a supporting
    element was taken to be, `doubt` why it is undecided, where that is known: what lies there may
    be something else by its shape, or something covers the place. `colours` holds each planned
    colour of a palette. The
    message of a missed item says what is not as
    planned, that of an undecided one why.
    """

    quantity: QuantityName
    element: str | None = None
    kind: ValueKind
    planned: PlainRecord
    measured: PlainRecord
    difference: float | None
    tolerance: float | None
    unit: str
    verdict: Verdict
    zone: ZoneRecord | None = None
    accepts: AcceptedRecord | None = None
    match: MatchRecord | None = None
    doubt: Literal["", "shape", "covered"] = ""
    colours: list[PlannedColourRecord] = Field(default_factory=list)
    message: str = ""

    @model_validator(mode="after")
    def _values_fit_their_kind(self) -> Self:
        value_of_kind(self.kind, self.planned)
        value_of_kind(self.kind, self.measured)
        return self

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
    the picture would then no longer leave. The message is the page's sentence.
    """

    kind: Literal["crop", "rotate", "colour temperature", "exposure"]
    amount: float
    unit: str
    crop: Rectangle | None
    reaches: list[QuantityName]
    rejoins: list[QuantityName] = Field(default_factory=list)
    message: str = ""
