"""Statements about the set, and findings, that came or went between two audits."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Literal

from auditor.findings.codes import FindingCode
from auditor.findings.delivery_findings import SAME_FACT
from auditor.record.audit_record import AuditRecord

StatementKind = Literal["outlier", "temperature", "setting", "finding"]

# Findings that say in other words what is compared otherwise: verdicts, shots, rules, the set.
COMPARED_OTHERWISE = frozenset(
    {
        FindingCode.REFUSED,
        FindingCode.MISSING_SHOT,
        FindingCode.SET_RULE,
        FindingCode.OFTEN_MISSED,
        FindingCode.MISSED,
        FindingCode.SET_OUTLIER,
        FindingCode.TEMPERATURE_GROUP,
    }
)
# About several pictures together, rather than about each of them.
OF_PICTURES_TOGETHER = frozenset(
    {FindingCode.SAME_FILE, FindingCode.NEARLY_THE_SAME, FindingCode.CROPPED}
)
# Which picture belongs to which shot: these follow from the plan.
OF_MATCHING = frozenset(
    {
        FindingCode.UNPLANNED,
        FindingCode.DOUBTFUL_MATCH,
        FindingCode.FITS_OTHER_SHOT,
        FindingCode.CLAIMED_TWICE,
    }
)


@dataclass(frozen=True, slots=True)
class Statement:
    """Something that an audit says of some pictures; equal where it says the same.

    Attributes
    ----------
    kind : str
        An outlier of the set, a group of colour temperature, an outlier in a camera setting, or a
        finding.
    about : str
        The quantity, the setting or the code of the finding.
    files : tuple of str
        By their names in the later audit.
    """

    kind: StatementKind
    about: str
    files: tuple[str, ...]


Said = Mapping[Statement, str]


def statements(record: AuditRecord, names_now: Mapping[str, str]) -> dict[Statement, str]:
    """All statements of an audit with their messages.

    Parameters
    ----------
    record : AuditRecord
    names_now : mapping of str to str
        By the names in this audit, those in the later one; others stay as they are.
    """
    said: dict[Statement, str] = {}
    for kind, about, files, message in _all(record):
        renamed = [names_now.get(file, file) for file in files]
        said.setdefault(Statement(kind, about, tuple(sorted(renamed))), message)
    return said


def without_told_by_rules(
    said: dict[Statement, str], rules_of: AuditRecord, names_now: Mapping[str, str]
) -> dict[Statement, str]:
    """Statements of one audit without those that the other has as broken rules of a hand-over.

    Parameters
    ----------
    said : dict of Statement to str
        As `statements` gives it.
    rules_of : AuditRecord
        The other audit.
    names_now : mapping of str to str
        By the names in the other audit, those in the later one.
    """
    told: dict[str, set[str]] = {}
    for finding in rules_of.findings:
        for code in SAME_FACT.get(finding.rule or "", ()):
            files = [names_now.get(file, file) for file in finding.files]
            told.setdefault(code.value, set()).update(files)
    return {
        one: message
        for one, message in said.items()
        if not (one.kind == "finding" and set(one.files) <= told.get(one.about, set()))
    }


def _all(record: AuditRecord) -> Iterator[tuple[StatementKind, str, list[str], str]]:
    for quantity in record.series.quantities:
        for outlier in quantity.outliers:
            yield "outlier", quantity.quantity, [outlier.file], outlier.message
    alone = {
        outlier.file
        for quantity in record.series.quantities
        if quantity.quantity == "colour_temperature"
        for outlier in quantity.outliers
    }
    for cluster in record.series.colour_temperature_clusters[1:]:
        if not alone.issuperset(cluster.files):
            yield "temperature", "colour_temperature", cluster.files, cluster.message
    for setting in record.series.camera_settings:
        for one in setting.outliers:
            yield "setting", setting.setting, [one.file], one.message
    yield from _findings(record)


def _findings(record: AuditRecord) -> Iterator[tuple[StatementKind, str, list[str], str]]:
    for finding in record.findings:
        # A hand-over is compared rule by rule.
        if finding.code in COMPARED_OTHERWISE or finding.code.value.startswith("delivery"):
            continue
        if finding.code in OF_PICTURES_TOGETHER:
            yield "finding", finding.code.value, finding.files, finding.message
            continue
        message = finding.message if len(finding.files) == 1 else ""
        for file in finding.files:
            yield "finding", finding.code.value, [file], message
