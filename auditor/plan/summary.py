"""A plan in one line, for the command that checks it."""

from __future__ import annotations

from auditor.plan.shot_plan import Plan


def describe_plan(plan: Plan) -> str:
    """Say what a plan holds: ``"Winter citrus: 9 shots, 12 patterns"``."""
    n_patterns = sum(len(shot.files) for shot in plan.shots)
    counts = f"{_counted(len(plan.shots), 'shot')}, {_counted(n_patterns, 'pattern')}"
    return f"{plan.title}: {counts}" if plan.title else counts


def _counted(number: int, noun: str) -> str:
    return f"{number} {noun}" if number == 1 else f"{number} {noun}s"
