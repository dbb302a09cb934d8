"""The model of one finding in the record."""

from __future__ import annotations

from pydantic import Field

from auditor.findings.codes import FindingCode
from auditor.findings.gravity import Gravity
from auditor.record.base import QuantityName, Record
from auditor.record.plan_records import PlainRecord
from auditor.values import ValueKind


class FindingRecord(Record):
    """One thing that needs attention; the list is in the order of `rank`, the gravest first.

    `value` was found and is held against `expected`: the plan, the centre of the set, or the
    largest group of the set. Both are of `kind` where it is given (places are [x, y], colours hex
    codes), otherwise plain numbers. `difference` and `tolerance` are in `unit`; a difference has a
    sign where it has a direction, and of the light it goes the shorter way round the dial. What
    the finding does not have is null.

    `rule` is the key of a rule of the plan for the set; then `value` is the number of pictures that
    count (or of pairs of neighbours that break it), and `expected` what is asked, in words. The
    rule for the number of pictures has no `files`. `difference` is then how many are too many, or,
    negative, too few. Of a rule of a hand-over `rule` is the key, and `channel` that of the rule;
    what it asks and what was found stands in `delivery`.

    `gravity` is what has to be done about it, as in `attention`.

    Where one cause explains two things, the second stands here too: `set_centre` and
    `set_deviation`, as in `series`, where a picture that misses its plan leaves the set in the same
    quantity; `explained_by_exposure_ev` where its exposure, against the set's, explains a miss in
    colour.
    """

    code: FindingCode
    rank: int
    files: list[str]
    quantity: QuantityName | None = None
    element: str | None = None
    shot: str | None = None
    other_shots: list[str] = Field(default_factory=list)
    kind: ValueKind | None = None
    value: PlainRecord = None
    expected: PlainRecord = None
    difference: float | None = None
    tolerance: float | None = None
    unit: str = ""
    set_centre: float | None = None
    set_deviation: float | None = None
    explained_by_exposure_ev: float | None = None
    rule: str | None = None
    channel: str | None = None
    gravity: Gravity | None = None
    message: str = ""
