"""The rules of a hand-over as the record writes them."""

from __future__ import annotations

from typing import Any

from auditor.delivery.judged import JudgedRule
from auditor.delivery.models import unit_of


def delivery_fields(judged: JudgedRule) -> dict[str, Any]:
    """Make the fields of `DeliveryRecord`, without its message."""
    rule, outcome = judged.rule, judged.outcome
    return {
        "rule": rule.name,
        "file": judged.file,
        "verdict": outcome.verdict,
        "channel": rule.channel,
        "asked": rule.asked.words,
        "found": outcome.found,
        "unit": unit_of(rule.name) if isinstance(outcome.found, float) else "",
        "reason": outcome.why,
        "files": judged.files,
    }
