"""How it is known that pictures are one set, or none, in words."""

from __future__ import annotations

from auditor.record.kind_record import KindRecord
from auditor.vocabulary.counts import count
from auditor.wording.numbers import percent
from auditor.wording.texts import listed

GIVEN = {
    "set": "The pictures are compared as one set, as asked.",
    "portfolio": "The pictures are looked at as a portfolio, as asked.",
    "single": "Each picture is looked at by itself, as asked.",
}
BY_PLAN = "The pictures are compared as one set, because they have a plan."
ALONE = "There is only one picture."
TOO_FEW = "Two pictures are too few to tell whether they are one set; they are compared as one."


def kind_words(kind: KindRecord) -> str:
    """Say how the pictures were taken to belong together, and how to have it otherwise."""
    if kind.is_given:
        return GIVEN[kind.kind]
    if kind.kind == "single":
        return ALONE
    if kind.by_plan:
        return BY_PLAN
    if not kind.n_pairs:
        return TOO_FEW
    if kind.kind == "set":
        alike = percent((kind.n_pairs - kind.n_unlike) / kind.n_pairs)
        return (
            f"The pictures are compared as one set: {alike} of their pairs share colours or a "
            "surface, or the rest of what was weighed leaves that open; --as portfolio shows "
            "their variety."
        )
    unlike = percent(kind.n_unlike / kind.n_pairs)
    more = [f"they have {count(kind.n_formats, 'format')}"] if kind.n_formats > 1 else []
    more += [f"they come from {count(kind.n_cameras, 'camera')}"] if kind.n_cameras > 1 else []
    also = f", and {listed(more)}" if more else ""
    return (
        f"The pictures were taken as no one set: {unlike} of their pairs share neither colours "
        f"nor a surface{also}. --as set compares them as one."
    )
