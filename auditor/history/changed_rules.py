"""Rules that are kept otherwise: those of the plan for the set, and those of a hand-over."""

from __future__ import annotations

from auditor.history.paired_pictures import PairedPictures
from auditor.record.audit_record import AuditRecord
from auditor.record.delivery_record import DeliveryRecord
from auditor.record.plan_records import SetRuleRecord

RuleChange = tuple[SetRuleRecord | None, SetRuleRecord | None]
DeliveryChange = tuple[DeliveryRecord | None, DeliveryRecord | None]


def compare_rules(before: AuditRecord, after: AuditRecord) -> tuple[RuleChange, ...]:
    """Rules of the plan that are others, or are kept otherwise; None where there was none."""
    then = {rule.rule: rule for rule in before.set_rules}
    now = {rule.rule: rule for rule in after.set_rules}
    both = [(then.get(name), now.get(name)) for name in dict.fromkeys((*then, *now))]
    return tuple(
        (a, b)
        for a, b in both
        if a is None or b is None or (a.asked, a.verdict) != (b.asked, b.verdict)
    )


def compare_delivery(
    before: AuditRecord, after: AuditRecord, pictures: PairedPictures
) -> tuple[DeliveryChange, ...]:
    """The same for the rules of a hand-over, where both audits checked them.

    What is broken by a picture that was added is among its findings.
    """
    if before.delivery is None or after.delivery is None:
        return ()
    names_now = pictures.names_now
    then = {
        (one.rule, one.channel, one.file and names_now[one.file]): one
        for one in before.delivery
        if one.file is None or one.file in names_now
    }
    names = {None, *names_now.values()}
    now = {(one.rule, one.channel, one.file): one for one in after.delivery if one.file in names}
    both = [(then.get(key), now.get(key)) for key in dict.fromkeys((*then, *now))]
    return tuple((a, b) for a, b in both if a is None or b is None or a.verdict != b.verdict)
