"""The record: the models that write ``audit.json`` and its JSON Schema.

Names and meanings are what other programs rely on; they may grow, none changes its meaning
without a new `SCHEMA_VERSION`.
"""

from __future__ import annotations

from typing import Literal

from pydantic import Field

from auditor.record.attention_record import AttentionRecord
from auditor.record.base import Record
from auditor.record.delivery_record import DeliveryRecord
from auditor.record.finding_record import FindingRecord
from auditor.record.kind_record import KindRecord
from auditor.record.picture_record import (
    PictureRecord,
)
from auditor.record.plan_records import SetRuleRecord
from auditor.record.portfolio_record import PortfolioRecord
from auditor.record.series_records import SeriesRecord

SCHEMA_VERSION = 2

# What a report is besides its usual page.
ReportForm = Literal["single_file", "summary"]


class ShotRecord(Record):
    """A planned shot and its pictures; `assumed` are those that were found by what they show."""

    name: str
    files: list[str]
    missing: bool
    assumed: list[str] = Field(default_factory=list)


class AuditRecord(Record):
    """A whole audit.

    `headline` says in at most three sentences what the set does and does not do. `set_rules` are
    the rules that the plan has for the set. `attention` gathers the findings by picture.
    `portfolio` is null unless the pictures are no one set; then nothing in `series` leaves it.
    `delivery` is null without rules of a hand-over; `delivery_title` is the title of these. `forms`
    says whether the page holds its pictures and whether there is a summary, so that both can be
    drawn again.
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
    set_rules: list[SetRuleRecord] = Field(default_factory=list)
    findings: list[FindingRecord]
    headline: list[str] = Field(default_factory=list)
    kind: KindRecord | None = None
    portfolio: PortfolioRecord | None = None
    attention: list[AttentionRecord] = Field(default_factory=list)
    delivery: list[DeliveryRecord] | None
    delivery_title: str | None = None
    forms: list[ReportForm] = Field(default_factory=list)

    @property
    def has_set(self) -> bool:
        """Whether there are measured pictures to compare with each other, and they are one set."""
        n_measured = sum(picture.status == "measured" for picture in self.images)
        return n_measured > 1 and (self.kind is None or self.kind.kind == "set")
