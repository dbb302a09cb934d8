"""Turn measurements, plan, set, advice and findings into the record.

The record holds the data alone; `auditor.wording.messages` puts the sentences in.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from auditor.accepted import Accepted
from auditor.advice.advice import Advice
from auditor.comparison.item import ComparedItem
from auditor.comparison.set_rules import JudgedRule
from auditor.delivery.judged import JudgedRule as JudgedDelivery
from auditor.findings.audited_set import AuditedSet, PlannedPicture
from auditor.findings.finding import Finding
from auditor.measurements.measured_photograph import MeasuredPhotograph
from auditor.paused_collector import paused_collector
from auditor.progress_calls import Progress, silent
from auditor.record.audit_record import SCHEMA_VERSION, AuditRecord, ReportForm
from auditor.record.by_picture import with_attention
from auditor.record.measured_fields import measured_fields
from auditor.record.picture_record import (
    MeasuredPictureRecord,
    PictureRecord,
    RefusedPictureRecord,
)
from auditor.record.plain_fields import plain_fields
from auditor.runs.outcome import RefusedPicture
from auditor.series.series import Series
from auditor.series.white_balance.known_temperatures import KnownTemperature
from auditor.values import Value

# Below what anything here is measured to; keeps the noise of the last bits out of the record.
SIGNIFICANT_DIGITS = 5
_DIGITS = f"%.{SIGNIFICANT_DIGITS}g"
_UNCHANGED = frozenset((str, int, bool, type(None)))


@dataclass(frozen=True, slots=True)
class Heading:
    """What the record says of the audit itself.

    Attributes
    ----------
    auditor_version, created : str
        The time in ISO 8601.
    libraries : mapping of str to str
        Name and version of each library that the numbers and the page depend on.
    folder : str
    plan : str or None
        Its path as given.
    title : str or None
        Of the plan.
    plan_remarks : tuple of str
        What of the plan is not compared.
    delivery_title : str or None
        Of the rules of a hand-over.
    forms : tuple of str
        What the report is besides its usual page.
    """

    auditor_version: str
    created: str
    libraries: Mapping[str, str]
    folder: str
    plan: str | None
    title: str | None
    plan_remarks: tuple[str, ...] = ()
    delivery_title: str | None = None
    forms: tuple[ReportForm, ...] = ()


def make_record(
    heading: Heading,
    audited: AuditedSet,
    findings: Sequence[Finding],
    progress: Progress = silent,
) -> AuditRecord:
    """Make the record of an audit, without its sentences.

    Parameters
    ----------
    heading : Heading
    audited : AuditedSet
    findings : sequence of Finding
    progress : callable
        Called after each picture.
    """
    with paused_collector():
        return _filled(heading, audited, findings, progress)


def _filled(
    heading: Heading, audited: AuditedSet, findings: Sequence[Finding], progress: Progress
) -> AuditRecord:
    known = audited.series.temperature_of
    pictures: list[PictureRecord] = []
    # One after the other: the plain fields of all together would take more memory than the record.
    for picture in audited.pictures:
        if isinstance(picture, RefusedPicture):
            pictures.append(RefusedPictureRecord.model_validate(_refused(picture)))
        else:
            fields = _measured(
                picture,
                audited.planned.get(picture.file),
                audited.advice.get(picture.file, ()),
                known.get(picture.file),
            )
            pictures.append(MeasuredPictureRecord.model_validate(_rounded(fields)))
        progress(len(pictures), len(audited.pictures), picture.file)
    matches = audited.matches
    shots = (
        []
        if matches is None
        else [
            {
                "name": name,
                "files": list(files),
                "missing": not files,
                "assumed": [file for file in files if file in matches.assumed],
            }
            for name, files in matches.files_of.items()
        ]
    )
    record = AuditRecord.model_validate(
        _rounded(
            {
                "schema_version": SCHEMA_VERSION,
                **plain_fields(heading),
                "images": pictures,
                "shots": shots,
                "series": _series(audited.series),
                "set_rules": [_rule(judged) for judged in audited.rules],
                "findings": [
                    _finding(finding, rank) for rank, finding in enumerate(findings, start=1)
                ],
                "delivery": None if audited.delivery is None else _delivery(audited.delivery),
                "kind": plain_fields(audited.kind),
                "portfolio": None if audited.portfolio is None else plain_fields(audited.portfolio),
            }
        )
    )
    return with_attention(record)


def _refused(picture: RefusedPicture) -> dict[str, Any]:
    return {
        "file": picture.file,
        "status": "refused",
        "reason": {"code": picture.code, "message": picture.message},
    }


def _delivery(judged: Sequence[JudgedDelivery]) -> list[dict[str, Any]]:
    from auditor.record.delivery_fields import delivery_fields  # slow to load, and rarely needed

    return [delivery_fields(one) for one in judged]


def _measured(
    picture: MeasuredPhotograph,
    planned: PlannedPicture | None,
    advice: tuple[Advice, ...],
    known: KnownTemperature | None,
) -> dict[str, Any]:
    return {
        "file": picture.file,
        "status": "measured",
        "reason": None,
        "width": picture.width,
        "height": picture.height,
        "sha256": picture.sha256,
        "colour_profile": picture.colour_profile,
        "creator": picture.creator,
        "copyright": picture.copyright,
        "camera": plain_fields(picture.camera),
        **measured_fields(picture, known),
        "known_temperature": None if known is None else _without(plain_fields(known), "file"),
        "plan": None if planned is None else _planned(planned),
        "advice": [plain_fields(item) for item in advice],
    }


def _planned(planned: PlannedPicture) -> dict[str, Any]:
    assumed, rank = planned.assumed, planned.rank
    return {
        "shot": planned.shot,
        "items": [_item(item) for item in planned.items],
        "mirrored": planned.mirrored,
        "assumed": None if assumed is None else _without(plain_fields(assumed), "shot"),
        "rank": None if rank is None else plain_fields(rank),
    }


def _rule(judged: JudgedRule) -> dict[str, Any]:
    return {
        "rule": judged.rule.name,
        "asked": judged.rule.words,
        "verdict": judged.verdict,
        "files": judged.files,
        "open_files": judged.open_files,
        "pairs": judged.pairs,
    }


def _item(item: ComparedItem) -> dict[str, Any]:
    return {
        "quantity": item.quantity,
        "element": item.element,
        "kind": item.kind,
        "planned": _plain(item.planned),
        "measured": _plain(item.measured),
        "difference": item.difference,
        "tolerance": item.tolerance,
        "unit": item.unit,
        "verdict": item.verdict,
        "zone": (
            None if item.zone is None else {"words": item.zone.words, "boxes": item.zone.boxes}
        ),
        "accepts": _accepts(item.accepted),
        "named": item.named if any(item.named) else [],
        "match": None if item.match is None else plain_fields(item.match),
        "doubt": item.doubt,
        "colours": [plain_fields(colour) for colour in item.colours],
        "counted": [plain_fields(match) for match in item.counted],
        "on_purpose": item.on_purpose,
    }


def _accepts(accepted: Accepted | None) -> dict[str, Any] | None:
    if accepted is None or (accepted.is_value and not accepted.words):
        return None
    return {"words": accepted.words, "spans": accepted.spans}


def _plain(value: Value | float | None) -> object:
    return value if value is None or isinstance(value, float | int) else value.plain


def _finding(finding: Finding, rank: int) -> dict[str, Any]:
    return {
        "code": finding.code,
        "rank": rank,
        "files": finding.files,
        "quantity": finding.quantity,
        "element": finding.element,
        "shot": finding.shot,
        "other_shots": finding.other_shots,
        "kind": finding.kind,
        "value": _plain(finding.value),
        "expected": _plain(finding.expected),
        "difference": finding.difference,
        "tolerance": finding.tolerance,
        "unit": finding.unit,
        "set_centre": finding.set_centre,
        "set_deviation": finding.set_deviation,
        "explained_by_exposure_ev": finding.explained_by_exposure_ev,
        "rule": finding.rule,
        "channel": finding.channel,
    }


def _series(series: Series) -> dict[str, Any]:
    """The fields of the set; the colour temperature of each picture stands with the picture."""
    return _without(plain_fields(series), "colour_temperatures")


def _without(fields: dict[str, Any], name: str) -> dict[str, Any]:
    return {other: value for other, value in fields.items() if other != name}


def _rounded(value: object) -> object:
    """The same structure with every number brought to `SIGNIFICANT_DIGITS`."""
    kind = type(value)  # the usual kinds first: a million values of a large set come here
    if kind is float:
        return float(_DIGITS % value)
    if kind in _UNCHANGED:
        return value
    match value:
        case dict() | Mapping():
            return {
                name: item if type(item) in _UNCHANGED else _rounded(item)
                for name, item in value.items()
            }
        case list() | tuple():
            return [
                float(_DIGITS % item) if type(item) is float else _rounded(item) for item in value
            ]
        case float():
            return float(_DIGITS % value)
    return value
