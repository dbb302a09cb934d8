"""Everything that is said of pictures that are no one set."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from auditor.measurements.measured_photograph import MeasuredPhotograph
from auditor.series.portfolio.differences import Traits
from auditor.series.portfolio.order import SuggestedOrder, suggest_order
from auditor.series.portfolio.repetition import Repetition, alike_pairs, repetitions
from auditor.series.portfolio.variety import (
    OnlyOne,
    SharedClass,
    Variety,
    only_ones,
    shared_classes,
    varieties,
)
from auditor.series.portfolio.weakest import WeakPicture, weakest


@dataclass(frozen=True, slots=True)
class Portfolio:
    """Variety and repetition of pictures that are no one set."""

    varieties: tuple[Variety, ...]
    shared: tuple[SharedClass, ...]
    only: tuple[OnlyOne, ...]
    repetitions: tuple[Repetition, ...]
    weakest: tuple[WeakPicture, ...]
    order: SuggestedOrder


def describe_portfolio(measured: Sequence[MeasuredPhotograph]) -> Portfolio:
    """Describe pictures of no one set, in their order."""
    found = varieties(measured)
    pairs = alike_pairs(Traits.of(measured))
    return Portfolio(
        found,
        shared_classes(found),
        only_ones(found, measured),
        repetitions(measured, pairs),
        weakest(measured),
        suggest_order(measured, pairs),
    )
