"""Rules that are kept otherwise: those of the plan for the set, and those of a hand-over."""

from __future__ import annotations

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


def compare_delivery(before: AuditRecord, after: AuditRecord) -> tuple[DeliveryChange, ...]:
    """The same for the rules of a hand-over, where both audits checked them."""
    if before.delivery is None or after.delivery is None:
        return ()
    then = {(one.rule, one.file): one for one in before.delivery}
    now = {(one.rule, one.file): one for one in after.delivery}
    both = [(then.get(key), now.get(key)) for key in dict.fromkeys((*then, *now))]
    return tuple((a, b) for a, b in both if a is None or b is None or a.verdict != b.verdict)
