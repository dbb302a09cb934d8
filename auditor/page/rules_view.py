"""The rules of the plan for the set as the page shows them."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from auditor.page.links import Link, link_to
from auditor.record.audit_record import AuditRecord
from auditor.record.plan_records import SetRuleRecord
from auditor.wording.set_rules import rule_title

# All pictures of the set count for it, so none is worth naming.
OF_ALL = "pictures"


@dataclass(frozen=True, slots=True)
class RuleView:
    """A rule with its verdict, and the pictures that count, or the pairs that break it.

    `unknown` are the pictures of which it is not known.
    """

    title: str
    verdict: str
    message: str
    counted: tuple[tuple[Link, ...], ...]
    unknown: tuple[Link, ...]
    is_of_pairs: bool


def rule_views(record: AuditRecord, links: Mapping[str, Link]) -> tuple[RuleView, ...]:
    """Make the page's data of the rules."""
    return tuple(_rule(rule, links) for rule in record.set_rules)


def _rule(rule: SetRuleRecord, links: Mapping[str, Link]) -> RuleView:
    named: list[tuple[str, ...]] = [*rule.pairs] or [(file,) for file in rule.files]
    return RuleView(
        rule_title(rule),
        rule.verdict,
        rule.message,
        ()
        if rule.rule == OF_ALL
        else tuple(tuple(link_to(file, links) for file in files) for files in named),
        tuple(link_to(file, links) for file in rule.open_files),
        is_of_pairs=bool(rule.pairs),
    )
