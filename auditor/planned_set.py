"""The pictures of a set beside the shots of their plan: matched, compared, advised."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass

from auditor.advice.advice import Advice
from auditor.advice.case import make_case
from auditor.advice.offering import offered
from auditor.advice.trying import Describe, TryChanges, proof_of, try_corrections
from auditor.comparison.by_content import match_by_content
from auditor.comparison.compare import ComposedShot, compare, composed_shots
from auditor.comparison.keeping import ranks
from auditor.comparison.matching import Matches
from auditor.corrections import Change
from auditor.findings.audited_set import PlannedPicture
from auditor.measurements.measured_photograph import MeasuredPhotograph
from auditor.plan.shot_plan import Plan
from auditor.runs.outcome import RefusedPicture
from auditor.series.series import Series


def match_shots(
    plan: Plan | None,
    pictures: Sequence[MeasuredPhotograph | RefusedPicture],
    measured: Sequence[MeasuredPhotograph],
    series: Series,
) -> tuple[Matches | None, Mapping[str, ComposedShot]]:
    """The pictures of each shot, and each picture's shot as it was taken."""
    if plan is None:
        return None, {}
    files = [picture.file for picture in pictures]
    matches = match_by_content(plan, files, measured, [group.files for group in series.alike])
    return matches, composed_shots(matches.shot_of, measured, plan.tolerances)


def compare_pictures(
    plan: Plan | None,
    matches: Matches | None,
    shots: Mapping[str, ComposedShot],
    measured: Sequence[MeasuredPhotograph],
    series: Series,
) -> dict[str, PlannedPicture]:
    """Each planned picture beside its shot, by file."""
    if plan is None or matches is None:
        return {}
    mired = {known.file: known.quantity for known in series.colour_temperatures}
    items = {
        picture.file: compare(composed.shot, picture, plan.tolerances, mired.get(picture.file))
        for picture in measured
        if (composed := shots.get(picture.file)) is not None
    }
    places = ranks(matches.files_of, items)
    return {
        file: PlannedPicture(
            shots[file].shot.name,
            own,
            shots[file].is_mirrored,
            matches.assumed.get(file),
            places.get(file),
        )
        for file, own in items.items()
    }


@dataclass(frozen=True, slots=True)
class Advised:
    """What helps each picture, by file.

    Attributes
    ----------
    advice : mapping of str to tuple of Advice
    proofs : mapping of str to Change
        The version of each advised picture that has all of its advice, or the most.
    """

    advice: Mapping[str, tuple[Advice, ...]]
    proofs: Mapping[str, Change]


def _nothing_asked(_file: str) -> tuple[int, int] | None:
    return None


def advise_pictures(
    plan: Plan | None,
    shots: Mapping[str, ComposedShot],
    planned: Mapping[str, PlannedPicture],
    measured: Sequence[MeasuredPhotograph],
    series: Series,
    try_changes: TryChanges,
    describe: Describe,
    *,
    least_sides_px: Callable[[str], tuple[int, int] | None] = _nothing_asked,
) -> Advised:
    """Try what might help each picture, and keep what does.

    Parameters
    ----------
    plan : Plan or None
    shots : mapping of str to ComposedShot
    planned : mapping of str to PlannedPicture
    measured : sequence of MeasuredPhotograph
    series : Series
    try_changes : callable
        Measures pictures after changes; called only if some picture lacks something.
    describe : callable
        Describes the pictures as `series` does; of pictures that are no set nothing leaves it.
    least_sides_px : callable
        Pixels that the longer and the shorter side of a file must have for the delivery; None if
        nothing is asked.
    """
    cases = [
        make_case(
            picture,
            shots[picture.file].shot if picture.file in shots else None,
            planned[picture.file].items if picture.file in planned else (),
            series,
            None if plan is None else plan.tolerances,
        )
        for picture in measured
    ]
    trials = try_corrections(cases, series, measured, try_changes, describe)
    versions = {file: proof_of(one) for file, one in trials.items()}
    return Advised(
        {file: offered(one, series, least_sides_px(file)) for file, one in trials.items()},
        {file: best.judged.change for file, best in versions.items() if best is not None},
    )
