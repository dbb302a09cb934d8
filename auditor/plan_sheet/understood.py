"""What a plan was understood to say, so that a misreading can be seen before the pictures."""

from __future__ import annotations

from collections.abc import Iterator

from auditor.plan.shot_plan import Plan
from auditor.plan_sheet.facts import facts_of, plans_nothing
from auditor.wording.plan_sheet import FOR_THE_SET, mirror_fact, rule_line
from auditor.wording.understood import understood_line


def understood(plan: Plan) -> Iterator[str]:
    """Yield a line for each shot, and one for the rules of the set."""
    for number, shot in enumerate(plan.shots, start=1):
        facts = () if plans_nothing(shot) else facts_of(shot, with_files=False)
        if shot.intent.mirrored:
            facts = (*facts, mirror_fact())
        yield understood_line(number, shot.name, facts)
    if plan.rules:
        rules = "; ".join(rule_line(rule.name, rule.words) for rule in plan.rules)
        yield f"{FOR_THE_SET}: {rules}"
