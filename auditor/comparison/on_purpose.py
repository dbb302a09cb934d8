"""What a picture is off its plan in on purpose."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from auditor.comparison.item import ComparedItem, Verdict
from auditor.plan.shot_plan import Purpose

_OFF = frozenset({Verdict.MISSED, Verdict.CLOSE})


def with_reasons(
    items: Sequence[ComparedItem], purposes: Sequence[Purpose]
) -> tuple[ComparedItem, ...]:
    """The items with the reason of each that is off its plan on purpose."""
    return tuple(
        replace(item, on_purpose=reason) if (reason := _reason(item, purposes)) else item
        for item in items
    )


def _reason(item: ComparedItem, purposes: Sequence[Purpose]) -> str:
    if item.verdict not in _OFF:
        return ""
    return next((purpose.reason for purpose in purposes if _is_about(purpose, item)), "")


def _is_about(purpose: Purpose, item: ComparedItem) -> bool:
    if purpose.quantities and item.quantity not in purpose.quantities:
        return False
    return purpose.element is None or purpose.element == item.element
