"""The model of what to do about one picture, or about the set, in the record."""

from __future__ import annotations

from pydantic import Field

from auditor.findings.gravity import Gravity
from auditor.record.base import Record


class AttentionRecord(Record):
    """What to do about one picture, or about the set where `file` is null; the gravest first.

    `gravity` is that of the gravest finding: what has to be done before the pictures are handed
    over, what has to be shot again, what is mended in development, by a crop, and what has to be
    looked at. `findings` are the ranks of the findings that it gathers, the gravest first; each
    finding is in one entry. `shot` is the picture's, or the one that has no picture. `to_do` are
    the one or two things to do, in words.
    """

    file: str | None
    shot: str | None = None
    gravity: Gravity
    findings: list[int]
    to_do: list[str] = Field(default_factory=list)
