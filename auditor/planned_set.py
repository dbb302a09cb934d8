"""The pictures of a set beside the shots of their plan: matched, compared, advised."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from auditor.advice.advice import Advice, advise
from auditor.comparison.by_content import match_by_content
from auditor.comparison.compare import ComposedShot, compare, composed_shots
from auditor.comparison.keeping import ranks
from auditor.comparison.matching import Matches
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


def advise_pictures(
    plan: Plan | None,
    shots: Mapping[str, ComposedShot],
    planned: dict[str, PlannedPicture],
    measured: Sequence[MeasuredPhotograph],
    series: Series,
) -> dict[str, tuple[Advice, ...]]:
    """What would help each picture, by file."""
    return {
        picture.file: advise(
            picture,
            shots[picture.file].shot if picture.file in shots else None,
            planned[picture.file].items if picture.file in planned else (),
            series,
            None if plan is None else plan.tolerances,
        )
        for picture in measured
    }
