"""The models of a picture beside its plan, and of what would help it."""

from __future__ import annotations

from typing import Literal

from pydantic import Field

from auditor.record.base import Fraction, Record, Rectangle

Verdict = Literal["met", "close", "missed", "undecided"]


class PlannedColourRecord(Record):
    """A planned colour and the measured one nearest to it, with its share of the frame."""

    planned: str
    found: bool
    nearest: str
    name: str
    difference: float
    share: Fraction


class ItemRecord(Record):
    """One planned item beside its measurement; `colours` where colours were planned."""

    quantity: str
    planned: float | str | list[float] | list[str] | None
    measured: float | str | list[float] | list[str] | None
    difference: float | None
    tolerance: float | None
    unit: str
    verdict: Verdict
    colours: list[PlannedColourRecord] = Field(default_factory=list)


class PicturePlanRecord(Record):
    """A picture beside its shot."""

    shot: str
    items: list[ItemRecord]


class AdviceRecord(Record):
    """One thing to do to a finished picture."""

    kind: Literal["crop", "rotate", "colour temperature", "exposure"]
    amount: float
    unit: str
    crop: Rectangle | None
    reaches: list[str]
