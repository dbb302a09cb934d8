"""The summary of a plan in one line, for the command that checks it."""

from __future__ import annotations

from auditor.plan.shot_plan import Plan
from auditor.vocabulary.counts import count


def describe_plan(plan: Plan) -> str:
    """Summarise a plan: ``"Winter citrus: 9 shots, 12 patterns"``."""
    n_patterns = sum(len(shot.files) for shot in plan.shots)
    counts = f"{count(len(plan.shots), 'shot')}, {count(n_patterns, 'pattern')}"
    if plan.rules:
        counts += f", {count(len(plan.rules), 'rule')} for the set"
    return f"{plan.title}: {counts}" if plan.title else counts
