"""Words of the controls that find pictures on the page, and what each picture is found by."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import PurePosixPath

from auditor.findings.gravity import Gravity
from auditor.record.audit_record import AuditRecord
from auditor.record.picture_record import MeasuredPictureRecord, PictureRecord
from auditor.record.plan_records import VERDICTS
from auditor.safe_text import one_line
from auditor.wording.attention import HEADINGS

CONTROL_TEXTS: dict[str, str] = {
    "find": "Find pictures",
    "text": "Name or shot",
    "name": "File name",
    "verdict": "Against the plan",
    "kind": "Needs attention",
    "order": "Order",
    "any": "all pictures",
    "show_all": "Show all",
    "shown": "{} of {} pictures shown",
    "all": "{} pictures",
}
# What a choice by verdict asks of a picture; "met" is nothing else than met.
VERDICT_CHOICES = {
    "missed": "something missed",
    "close": "something close",
    "undecided": "something undecided",
    "met": "all met",
}
ORDERS = {
    "set": "of the set",
    "name": "by file name",
    "taken": "by capture time",
    "gravity": "gravest first",
}


def verdicts_of(picture: PictureRecord) -> tuple[str, ...]:
    """The verdicts by which a picture is found, gravest first; empty without a plan.

    "met" stands alone: for pictures in which nothing else was found. What is off its plan on
    purpose does not count.
    """
    if not isinstance(picture, MeasuredPictureRecord) or picture.plan is None:
        return ()
    found = {item.verdict for item in picture.plan.items if not item.on_purpose}
    others = tuple(verdict for verdict in VERDICT_CHOICES if verdict in found - {"met"})
    return others or (VERDICTS[:1] if picture.plan.items else ())


def shot_of(picture: PictureRecord) -> str:
    """The shot that a picture is of; empty without."""
    if not isinstance(picture, MeasuredPictureRecord) or picture.plan is None:
        return ""
    return one_line(picture.plan.shot)


def kinds_in(record: AuditRecord) -> tuple[str, ...]:
    """What has to be done about pictures, the gravest first."""
    found = {finding.gravity for finding in record.findings if finding.files}
    return tuple(HEADINGS[gravity] for gravity in Gravity if gravity in found)


def kinds_by_file(record: AuditRecord) -> dict[str, set[str]]:
    """What has to be done about each picture."""
    found: dict[str, set[str]] = {}
    for finding in record.findings:
        if finding.gravity is None:
            continue
        for file in finding.files:
            found.setdefault(file, set()).add(HEADINGS[finding.gravity])
    return found


def files_by_order(record: AuditRecord) -> dict[str, Sequence[str]]:
    """The pictures in each order that says something of this set, by the keys of `ORDERS`."""
    files = [picture.file for picture in record.images]
    orders: dict[str, Sequence[str]] = {"set": files}
    by_name = sorted(files, key=lambda file: PurePosixPath(file).name.casefold())
    if by_name != files:
        orders["name"] = by_name
    taken = {
        picture.file: picture.camera.taken
        for picture in record.images
        if isinstance(picture, MeasuredPictureRecord) and picture.camera.taken
    }
    if taken:
        orders["taken"] = sorted(files, key=lambda file: (file not in taken, taken.get(file, "")))
    gravest = [one.file for one in record.attention if one.file is not None]
    gravest += [file for finding in record.findings for file in finding.files]
    if gravest:
        there = set(files)
        named = [file for file in gravest if file in there]
        orders["gravity"] = tuple(dict.fromkeys([*named, *files]))
    return orders
