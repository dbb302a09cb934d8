"""How the pictures belong together: one set, a portfolio, or single pictures."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum

from auditor.measurements.measured_photograph import MeasuredPhotograph


class SetKind(StrEnum):
    """How pictures that are audited together belong together.

    Those of one set are meant to look alike; those of a portfolio to show a range; single pictures
    have nothing to do with each other.
    """

    SET = "set"
    PORTFOLIO = "portfolio"
    SINGLE = "single"


@dataclass(frozen=True, slots=True)
class KindOfSet:
    """The kind, and whether it was given rather than told from the pictures."""

    kind: SetKind
    is_given: bool


def tell_kind(measured: Sequence[MeasuredPhotograph], given: SetKind | None) -> KindOfSet:
    """Tell how pictures belong together, unless it is given."""
    if given is not None:
        return KindOfSet(given, is_given=True)
    return KindOfSet(SetKind.SINGLE if len(measured) == 1 else SetKind.SET, is_given=False)
