"""Everything beside the subject: single elements, numbers of things, what must not be there."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from auditor.comparison.counted import compare_counted
from auditor.comparison.item import ComparedItem, Verdict
from auditor.comparison.supporting import compare_supporting
from auditor.comparison.unwanted import compare_unwanted
from auditor.geometry import Box
from auditor.measurements.measured_photograph import MeasuredPhotograph
from auditor.plan.shot_plan import Intent, Tolerances


def compare_things(
    intent: Intent, measured: MeasuredPhotograph, tolerances: Tolerances
) -> Iterator[ComparedItem]:
    """Compare the planned elements, then their numbers, then what must not be in the picture.

    What was taken to be one of the first is none of the later ones.
    """
    single = list(compare_supporting(intent, measured, tolerances))
    yield from single
    taken = _taken(single)
    several = list(compare_counted(intent, measured, tolerances, taken))
    yield from several
    taken += _counted(several)
    yield from compare_unwanted(intent, measured, tolerances, taken)


def _taken(items: Sequence[ComparedItem]) -> list[Box]:
    """What the items that are there were taken to be."""
    return [
        item.match.bbox
        for item in items
        if item.match is not None and item.verdict in {Verdict.MET, Verdict.CLOSE}
    ]


def _counted(items: Sequence[ComparedItem]) -> list[Box]:
    """What was counted, where it was not more than planned: of more, some are something else."""
    return [
        match.bbox
        for item in items
        if item.difference is not None and item.difference <= 0
        for match in item.counted
    ]
