"""The model of one rule of a hand-over, as kept or broken, in the record."""

from __future__ import annotations

from typing import Literal

from auditor.record.base import Record


class DeliveryRecord(Record):
    """One rule of a hand-over for one picture, or for all where `file` is null.

    It is undecided where it cannot be checked.
    """

    rule: str
    file: str | None
    verdict: Literal["met", "missed", "undecided"]
    message: str = ""
