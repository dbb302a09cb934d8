"""The model of one thing that would help a picture in the record."""

from __future__ import annotations

from typing import Literal

from pydantic import Field

from auditor.record.base import QuantityName, Record, Rectangle


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
