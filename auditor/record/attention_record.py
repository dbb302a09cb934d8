"""The model of what to do about one picture, or about the set, in the record."""

from __future__ import annotations

from typing import Literal

from pydantic import Field

from auditor.record.base import Record


class AttentionRecord(Record):
    """What to do about one picture, or about the set where `file` is null; the gravest first.

    `gravity` is that of the gravest finding. `findings` are the ranks of the findings that it
    gathers, `to_do` the one or two things to do, in words.
    """

    file: str | None
    shot: str | None = None
    gravity: Literal["reshoot", "develop", "crop", "look"]
    findings: list[int]
    to_do: list[str] = Field(default_factory=list)
