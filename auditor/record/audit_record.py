"""The record: the models that write ``audit.json`` and its JSON Schema.

Names and meanings are what other programs rely on; they may grow, none changes its meaning
without a new `SCHEMA_VERSION`.
"""

from __future__ import annotations

from typing import Literal

from pydantic import Field

from auditor.record.base import Record
from auditor.record.finding_record import FindingRecord
from auditor.record.picture_record import (
    PictureRecord,
)
from auditor.record.series_records import SeriesRecord

SCHEMA_VERSION = 2


class ShotRecord(Record):
    """A planned shot and its pictures."""

    name: str
    files: list[str]
    missing: bool


class AuditRecord(Record):
    """A whole audit.

    `headline` says in at most three sentences what the set does and does not do. `delivery` is null
    until rules of a hand-over can be given.
    """

    schema_version: Literal[2]
    auditor_version: str
    created: str
    libraries: dict[str, str]
    folder: str
    plan: str | None
    title: str | None
    plan_remarks: list[str] = Field(default_factory=list)
    images: list[PictureRecord]
    shots: list[ShotRecord]
    series: SeriesRecord
    findings: list[FindingRecord]
    headline: list[str] = Field(default_factory=list)
    delivery: None
