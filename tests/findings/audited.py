"""Audited sets for tests, and the lines that a person reads of them."""

from dataclasses import replace

from auditor.comparison.item import ComparedItem, Verdict
from auditor.comparison.matching import Matches
from auditor.findings.audited_set import AuditedSet, PlannedPicture
from auditor.findings.by_picture import is_of_one_picture
from auditor.findings.codes import FindingCode
from auditor.findings.gathering import gather_findings
from auditor.record.filling import Heading, make_record
from auditor.safe_text import one_line
from auditor.series.kind import KindOfSet, SetKind
from auditor.series.series import Series
from auditor.series.statistics.series_quantity import Outlier, SeriesQuantity
from auditor.wording.messages import with_messages
from tests.factories import measured_photograph

HEADING = Heading("0.1.0", "2026-11-25T09:36:00+00:00", {}, "teahouse", "plan.toml", None)
NOTHING = Series((), (), (), (), (), (), (), ())


def missed(quantity, planned, measured, difference=None, tolerance=None, element=None):
    """A planned item that was missed."""
    return ComparedItem.of(
        *(quantity, planned, measured, Verdict.MISSED),
        element=element,
        difference=difference,
        tolerance=tolerance,
    )


def followed(quantity, unit, *outliers, centre=0.0, spread=1.0, values=()):
    """One quantity over the set with its outliers: file, value and deviation of each."""
    found = tuple(Outlier(*outlier) for outlier in outliers)
    return SeriesQuantity(quantity, unit, values, centre, spread, found)


def audited(items=None, n=5, matches=None, **series):
    """A set of pictures 0.jpg, 1.jpg …; `items` gives the planned items of some by number."""
    planned = {
        f"{number}.jpg": PlannedPicture("a shot", tuple(own))
        for number, own in (items or {}).items()
    }
    return AuditedSet(
        pictures=[measured_photograph(file=f"{number}.jpg") for number in range(n)],
        planned=planned,
        advice={},
        matches=matches,
        series=replace(NOTHING, **series),
        kind=KindOfSet(SetKind.SET, is_given=False),
    )


def matched(**changes):
    """A plan whose every picture has its shot; any field can be replaced."""
    usual = {
        "files_of": {},
        "shot_of": {},
        "unplanned": (),
        "claimed_twice": {},
        "missing": (),
        "claimed_by": {},
    }
    return Matches(**{**usual, **changes})


def record_of(found):
    """The record of an audited set, with its sentences."""
    return with_messages(make_record(HEADING, found, gather_findings(found)))


def lines_of(found):
    """What a person reads of each finding."""
    return [_line(finding) for finding in record_of(found).findings]


def _line(finding):
    """One finding with the names of its pictures."""
    if finding.code is FindingCode.UNREADABLE_FOLDER or not finding.files:
        return finding.message
    if is_of_one_picture(finding):
        return f"{one_line(finding.files[0])}: {finding.message}"
    return f"{finding.message}: {', '.join(one_line(file) for file in finding.files)}"
