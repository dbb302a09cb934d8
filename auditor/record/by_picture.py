"""The findings of a record gathered by picture."""

from __future__ import annotations

from auditor.findings.by_picture import Attention, gather_by_picture
from auditor.record.attention_record import AttentionRecord
from auditor.record.audit_record import AuditRecord
from auditor.record.picture_record import MeasuredPictureRecord


def with_attention(record: AuditRecord) -> AuditRecord:
    """The same record with its findings gathered by picture, and the gravity of each.

    Parameters
    ----------
    record : AuditRecord
        Whatever it gathers already is gathered anew.
    """
    measured = [one for one in record.images if isinstance(one, MeasuredPictureRecord)]
    items_of = {one.file: one.plan.items for one in measured if one.plan is not None}
    advice_of = {one.file: one.advice for one in measured}
    gathered = gather_by_picture(record.findings, advice_of, items_of)
    shot_of = {one.file: one.plan.shot for one in measured if one.plan is not None}
    return record.model_copy(
        update={
            "findings": [
                finding.model_copy(update={"gravity": gravity})
                for finding, gravity in zip(record.findings, gathered.gravities, strict=True)
            ],
            "attention": [_entry(entry, record, shot_of) for entry in gathered.entries],
        }
    )


def _entry(entry: Attention, record: AuditRecord, shot_of: dict[str, str]) -> AttentionRecord:
    findings = [record.findings[place] for place in entry.findings]
    shots = {finding.shot for finding in findings}
    alone = next(iter(shots)) if len(shots) == 1 else None
    return AttentionRecord(
        file=entry.file,
        shot=alone if entry.file is None else shot_of.get(entry.file),
        gravity=entry.gravity,
        findings=[finding.rank for finding in findings],
    )
