"""What is off its plan on purpose, and that the mirror image of a plan was taken."""

from __future__ import annotations

from auditor.record.plan_records import ItemRecord
from auditor.safe_text import one_line

ON_PURPOSE = "on purpose"
MIRRORED = (
    "Compared with the mirror image of the planned composition, which the plan allows and the "
    "picture is nearer to: left and right are exchanged in everything but the light."
)
_ENDS = (".", "!", "?", "…")


def reason_sentence(item: ItemRecord) -> str:
    """Give the plan's reason; empty where there is none."""
    if not item.on_purpose:
        return ""
    reason = one_line(item.on_purpose)
    return f"On purpose: {reason}" + ("" if reason.endswith(_ENDS) else ".")
