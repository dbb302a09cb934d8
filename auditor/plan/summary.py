"""The summary of a plan in one line, for the command that checks it."""

from __future__ import annotations

from auditor.plan.shot_plan import Plan
from auditor.vocabulary.counts import count


def describe_plan(plan: Plan) -> str:
    """Summarise a plan: ``"Winter citrus: 9 shots, all with files"``."""
    counts = f"{count(len(plan.shots), 'shot')}, {_files(plan)}"
    if plan.rules:
        counts += f"; {count(len(plan.rules), 'rule')} for the set"
    return f"{plan.title}: {counts}" if plan.title else counts


def _files(plan: Plan) -> str:
    n_shots, n_open = len(plan.shots), sum(not shot.files for shot in plan.shots)
    if not n_open:
        return "with files" if n_shots == 1 else "all with files"
    without = "without files" if n_shots == 1 else f"{n_open} without files"
    return f"{without}, matched by what pictures show"
