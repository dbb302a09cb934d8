"""The models of a picture beside its plan."""

from __future__ import annotations

from typing import Annotated, Literal, Self

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
    `accepts`: then `planned` is the value that stands for them. `named` says how the plan named
    each planned colour, empty for a code; a name means a region, and `difference` is the distance
    beyond it. `match` says what a supporting element was taken to be, `doubt` why it is undecided,
    where that is known: what lies there may be something else by its shape, something covers the
    place or has no outline, the thing is too small to be looked for, things that touch are found as
    one, or what was counted may be other things. `colours` holds each planned colour of a palette,
    `counted` what was counted as several things of one name. `on_purpose` is the plan's reason
    where an item is missed or close on purpose: then it counts as neither. `element` of what must
    not be there names it, and `measured` is where something lies that may be it.

    The message of a missed item says what is not as planned, that of an undecided one why; that of
    one on purpose ends with its reason.
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
    named: list[str] = Field(default_factory=list)
    match: MatchRecord | None = None
    doubt: Literal["", "shape", "covered", "outline", "small", "touching", "others"] = ""
    colours: list[PlannedColourRecord] = Field(default_factory=list)
    counted: list[MatchRecord] = Field(default_factory=list)
    on_purpose: str = ""
    message: str = ""

    @model_validator(mode="after")
    def _values_fit_their_kind(self) -> Self:
        value_of_kind(self.kind, self.planned)
        value_of_kind(self.kind, self.measured)
        return self

    @property
    def is_fault(self) -> bool:
        """Whether the picture misses its plan here, and not on purpose."""
        return self.verdict == "missed" and not self.on_purpose

    @property
    def planned_value(self) -> Value | None:
        """What was planned, with its kind."""
        return value_of_kind(self.kind, self.planned)

    @property
    def measured_value(self) -> Value | None:
        """What was measured, with its kind."""
        return value_of_kind(self.kind, self.measured)


class AssumedRecord(Record):
    """How sure it is that a picture which no shot names is one of its shot, by what it shows.

    `second` is the next likely shot, null for no shot of the plan. The probabilities are those of
    both answers.
    """

    probability: Fraction
    second: str | None
    second_probability: Fraction
    message: str = ""


class RankRecord(Record):
    """The place of a picture among those of its shot, by how well they keep the plan.

    `place` is 1 for the best; pictures that keep it equally well have the same, which is then
    shared.
    """

    place: Annotated[int, Field(ge=1)]
    n_pictures: Annotated[int, Field(ge=2)]
    is_shared: bool = False
    message: str = ""


class PicturePlanRecord(Record):
    """A picture beside its shot.

    `mirrored` says that it was compared with the mirror image of the planned composition, and the
    message says the same in words.
    `assumed` is there if no shot names the picture and its shot was found by what it shows; `rank`
    if the shot has several pictures.
    """

    shot: str
    items: list[ItemRecord]
    mirrored: bool = False
    message: str = ""
    assumed: AssumedRecord | None = None
    rank: RankRecord | None = None


class SetRuleRecord(Record):
    """A rule of the plan for the set.

    `rule` is its key in the plan, `asked` what it asks. `files` are the pictures that count, in the
    order of the set, `open_files` those of which it is not known. Of a rule about neighbours,
    `pairs` are those that break it and `files` the pictures in them.
    """

    rule: str
    asked: str
    verdict: Literal["met", "missed", "undecided"]
    files: list[str]
    open_files: list[str] = Field(default_factory=list)
    pairs: list[tuple[str, str]] = Field(default_factory=list)
    message: str = ""
