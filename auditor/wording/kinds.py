"""How it is known that pictures are one set, or none, in words."""

from __future__ import annotations

from auditor.record.kind_record import KindRecord
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
        return _set_words(kind)
    unlike = percent(kind.n_unlike / kind.n_pairs)
    more = ["format"] if kind.n_formats > 1 else []
    more += ["camera"] if kind.n_cameras > 1 else []
    also = f", and they differ in {listed(more)}" if more else ""
    return (
        f"The pictures do not look like one set: {unlike} of their pairs share neither colours nor "
        f"a surface{also}. Add “--as set” to the command to compare them as one."
    )


def _set_words(kind: KindRecord) -> str:
    n_alike = kind.n_pairs - kind.n_unlike
    share = percent(n_alike / kind.n_pairs)
    if n_alike >= kind.n_unlike:
        said = f"{share} of their pairs share colours or a surface"
        return f"The pictures are compared as one set: {said}."
    return (
        f"It is not certain that the pictures are one set: only {share} of their pairs share "
        "colours or a surface. They are compared as one; add “--as portfolio” to the command to "
        "see their variety."
    )
