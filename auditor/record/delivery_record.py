"""The model of one rule of a hand-over, as kept or broken, in the record."""

from __future__ import annotations

from typing import Literal

from pydantic import Field

from auditor.record.base import Record


class DeliveryRecord(Record):
    """One rule of a hand-over for one picture, or for all where `file` is null.

    It is undecided where it cannot be checked; then `reason` says why. `rule` is its key in the
    file of rules, `files` that of a channel without pictures; `channel` is null for a rule of all
    pictures. `asked` is what it asks, in words; `found` is in `unit`, or a word. A rule about the
    pictures together names in `files` those that break it.
    """

    rule: str
    file: str | None
    verdict: Literal["met", "missed", "undecided"]
    message: str = ""
    channel: str | None = None
    asked: str = ""
    found: float | str | None = None
    unit: str = ""
    reason: str | None = None
    files: list[str] = Field(default_factory=list)
