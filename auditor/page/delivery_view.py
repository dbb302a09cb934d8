"""The rules of a hand-over as the page shows them."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from auditor.page.links import Link, link_to
from auditor.record.audit_record import AuditRecord
from auditor.record.delivery_record import DeliveryRecord
from auditor.safe_text import one_line
from auditor.wording.delivery import rule_title

_GRAVEST_FIRST = ("missed", "undecided", "met")


@dataclass(frozen=True, slots=True)
class DeliveryLine:
    """One thing that was found, and the pictures of which it was; none for all together."""

    links: tuple[Link, ...]
    message: str
    is_of_all: bool


@dataclass(frozen=True, slots=True)
class DeliveryRuleView:
    """A rule with the gravest of its verdicts, what breaks it and what could not be checked.

    Rules that could not be checked for one and the same reason stand together.
    """

    titles: tuple[str, ...]
    verdict: str
    broken: tuple[DeliveryLine, ...]
    unchecked: tuple[DeliveryLine, ...]


@dataclass(frozen=True, slots=True)
class DeliveryView:
    """All rules: those that are not kept, one by one, and those that are."""

    title: str
    n_of: Mapping[str, int]
    rules: tuple[DeliveryRuleView, ...]
    met: tuple[DeliveryRuleView, ...]


def delivery_view(record: AuditRecord, links: Mapping[str, Link]) -> DeliveryView | None:
    """Make the page's data of the rules; None where there are none."""
    if record.delivery is None:
        return None
    rows: dict[tuple[str, str | None], list[DeliveryRecord]] = {}
    for one in record.delivery:
        rows.setdefault((one.rule, one.channel), []).append(one)
    rules = [_rule(group, links) for group in rows.values()]
    ordered = [rule for verdict in _GRAVEST_FIRST for rule in rules if rule.verdict == verdict]
    return DeliveryView(
        one_line(record.delivery_title or ""),
        {name: sum(rule.verdict == name for rule in rules) for name in _GRAVEST_FIRST},
        _together([rule for rule in ordered if rule.verdict != "met"]),
        tuple(rule for rule in ordered if rule.verdict == "met"),
    )


def _rule(rows: Sequence[DeliveryRecord], links: Mapping[str, Link]) -> DeliveryRuleView:
    verdicts = {one.verdict for one in rows}
    return DeliveryRuleView(
        (rule_title(rows[0].rule, rows[0].asked, rows[0].channel),),
        next(verdict for verdict in _GRAVEST_FIRST if verdict in verdicts),
        _lines([one for one in rows if one.verdict == "missed"], links),
        _lines([one for one in rows if one.verdict == "undecided"], links),
    )


def _together(rules: Sequence[DeliveryRuleView]) -> tuple[DeliveryRuleView, ...]:
    """Gather the rules that could not be checked, and of which no picture is named, by reason."""
    rows: dict[object, DeliveryRuleView] = {}
    for place, rule in enumerate(rules):
        is_named = rule.broken or any(line.links for line in rule.unchecked)
        key: object = place if is_named else rule.unchecked
        if key in rows:
            rows[key] = replace(rows[key], titles=(*rows[key].titles, *rule.titles))
        else:
            rows[key] = rule
    return tuple(rows.values())


def _lines(rows: Sequence[DeliveryRecord], links: Mapping[str, Link]) -> tuple[DeliveryLine, ...]:
    """One line for each thing that was found, with all of its pictures."""
    files_of: dict[str, list[str]] = {}
    for one in rows:
        files = files_of.setdefault(one.message, [])
        files += one.files if one.file is None else [one.file]
    return tuple(
        DeliveryLine(
            tuple(link_to(file, links) for file in files),
            message,
            is_of_all=bool(files[1:]) and set(files) == set(links),
        )
        for message, files in files_of.items()
    )
