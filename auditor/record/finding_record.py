"""The model of one finding in the record."""

from __future__ import annotations

from pydantic import Field

from auditor.findings.codes import FindingCode
from auditor.record.base import Record
from auditor.record.plan_records import PlainRecord


class FindingRecord(Record):
    """One thing that needs attention; the list is in the order of `rank`, the gravest first.

    `value` is held against `expected`, both in `unit` (places are [x, y], colours hex codes);
    `difference` is value minus expected, or a distance. What the finding does not have is null.
    Where one cause explains two things, the second stands here too: `set_centre` and
    `set_deviation` where a picture that misses its plan leaves the set in the same quantity,
    `explained_by_exposure_ev` where its exposure, against the set's, explains a miss in colour.
    """

    code: FindingCode
    rank: int
    files: list[str]
    quantity: str | None = None
    element: str | None = None
    shot: str | None = None
    other_shots: list[str] = Field(default_factory=list)
    value: PlainRecord = None
    expected: PlainRecord = None
    difference: float | None = None
    tolerance: float | None = None
    unit: str = ""
    set_centre: float | None = None
    set_deviation: float | None = None
    explained_by_exposure_ev: float | None = None
    message: str = ""
