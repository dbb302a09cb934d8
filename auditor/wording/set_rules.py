"""The rules of the plan for the set: what each asks, and how far the set keeps it."""

from __future__ import annotations

from collections.abc import Sequence

from auditor.quantities.set_rules import HERO_TIMES
from auditor.record.plan_records import SetRuleRecord
from auditor.vocabulary.counts import count
from auditor.wording.texts import listed

# Of rules that a plan and a hand-over both have.
TITLES_OF_COUNTS = {
    "pictures": "Pictures",
    "portrait": "Portrait format",
    "landscape": "Landscape format",
    "square": "Square format",
    "overhead": "Overhead",
    "high": "High camera",
    "three_quarter": "Three-quarter view",
    "low": "Low camera",
    "straight_on": "Straight on",
}
_TITLES = {**TITLES_OF_COUNTS, "hero": "Hero", "neighbours": "Neighbours"}
# What a picture that counts is or has.
_COUNTED = {
    "portrait": "in portrait format",
    "landscape": "in landscape format",
    "square": "square",
    "overhead": "overhead",
    "high": "seen from high up",
    "three_quarter": "seen from three-quarter height",
    "low": "seen from low down",
    "straight_on": "seen straight on",
}
HERO_EXPLAINED = f"the subject at least {HERO_TIMES:g} times as large as in the median picture"


def counted_as(name: str) -> str:
    """What a picture that counts for a rule is: ``"in portrait format"``."""
    return _COUNTED[name]


def rule_title(rule: SetRuleRecord) -> str:
    """Name a rule with what it asks: ``"Overhead: at least 2"``."""
    return planned_rule_title(rule.rule, rule.asked)


def planned_rule_title(name: str, asked: str) -> str:
    """The same of a rule that was not checked yet."""
    return f"{_TITLES.get(name, name)}: {asked}"


def rule_message(rule: SetRuleRecord) -> str:
    """Say how many pictures count for a rule, and of how many that is not known."""
    if rule.rule == "neighbours":
        return _neighbours(rule)
    n, n_open = len(rule.files), len(rule.open_files)
    if rule.rule == "pictures":
        return f"{_found(n, n_open)} in the set, {rule.asked} planned."
    if rule.rule == "hero":
        is_large = f"{_found(n, n_open)} with a large subject ({HERO_EXPLAINED})"
        return f"{is_large}, {rule.asked} planned{_open(rule)}."
    return f"{_found(n, n_open)} {_COUNTED[rule.rule]}, {rule.asked} planned{_open(rule)}."


def _found(n: int, n_open: int) -> str:
    if n == 0:
        return "No picture that is surely" if n_open else "No picture"
    return count(n, "picture")


def _open(rule: SetRuleRecord) -> str:
    n = len(rule.open_files)
    if n == 0 or rule.verdict != "undecided":
        return ""
    return f"; of {count(n, 'picture')} the measurements do not say"


def _neighbours(rule: SetRuleRecord) -> str:
    n = len(rule.pairs)
    if n:
        are = "is" if n == 1 else "are"
        return f"{count(n, 'pair')} of neighbours {are} seen from one camera angle."
    if rule.verdict == "undecided":
        n_open = len(rule.open_files)
        return (
            "No two neighbours are surely seen from one camera angle; "
            f"of {count(n_open, 'picture')} the measurements do not say."
        )
    return "No two neighbours are seen from one camera angle."


def rules_clause(rules: Sequence[SetRuleRecord]) -> str:
    """Sum up the rules in a part of a sentence; empty without rules."""
    if not rules:
        return ""
    counts = {
        verdict: sum(rule.verdict == verdict for rule in rules)
        for verdict in ("met", "missed", "undecided")
    }
    parts = [f"{n} {verdict}" for verdict, n in counts.items() if n]
    return f"of {count(len(rules), 'rule')} for the set, {listed(parts)}"
