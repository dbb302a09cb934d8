"""Findings about the set: outliers, groups of another temperature, alike pictures, crops."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence, Set
from dataclasses import dataclass

from auditor.findings.codes import FindingCode
from auditor.findings.finding import Finding
from auditor.quantities.set_rules import LEAST_PICTURES_FOR_OUTLIERS
from auditor.series.crops import CroppedPicture
from auditor.series.portfolio import Portfolio
from auditor.series.series import Series

TEMPERATURE = "colour_temperature"


@dataclass(frozen=True, slots=True)
class LeavesSet:
    """How one picture leaves the set in one quantity."""

    deviation: float
    centre: float | None


Leaving = Mapping[tuple[str, str], LeavesSet]  # by file and quantity


def leaving_of(series: Series) -> Leaving:
    """All outliers of the set, by file and quantity."""
    return {
        (outlier.file, quantity.quantity): LeavesSet(outlier.deviation, quantity.centre)
        for quantity in series.quantities
        for outlier in quantity.outliers
    }


def group_findings(series: Series, explained: Set[tuple[str, str]]) -> Iterator[Finding]:
    """One finding for each group of pictures that are warmer or cooler than the largest group.

    A group that holds outliers of the set is an outlier itself. A picture alone makes a group only
    in a set of fewer than five pictures, and if it is no outlier.

    Parameters
    ----------
    series : Series
    explained : set of (str, str)
        File and quantity of what another finding covers already.
    """
    if not series.colour_temperature_clusters:
        return
    most, *others = series.colour_temperature_clusters
    outliers = {file for file, quantity in leaving_of(series) if quantity == TEMPERATURE}
    followed = next((q for q in series.quantities if q.quantity == TEMPERATURE), None)
    spread = None if followed is None else followed.spread
    n_pictures = 0 if followed is None else len(followed.values)
    for cluster in others:
        files = tuple(file for file in cluster.files if (file, TEMPERATURE) not in explained)
        is_too_few = n_pictures < LEAST_PICTURES_FOR_OUTLIERS and outliers.isdisjoint(files)
        if len(files) < 2 and not (is_too_few and len(cluster.files) == len(files) == 1):
            continue
        is_outlier = not outliers.isdisjoint(files)
        yield Finding(
            FindingCode.SET_OUTLIER if is_outlier else FindingCode.TEMPERATURE_GROUP,
            files,
            severity=abs(cluster.shift_mired) / spread if spread else 0.0,
            quantity=TEMPERATURE,
            value=cluster.mired,
            expected=most.mired,
            difference=-cluster.shift_mired,
            unit="mired",
        )


def outlier_findings(series: Series, explained: Set[tuple[str, str]]) -> Iterator[Finding]:
    """One finding for each picture that leaves the set in a quantity, unless it is explained."""
    for quantity in series.quantities:
        for outlier in quantity.outliers:
            if (outlier.file, quantity.quantity) in explained:
                continue
            yield Finding(
                FindingCode.SET_OUTLIER,
                (outlier.file,),
                severity=abs(outlier.deviation) / quantity.spread if quantity.spread else 0.0,
                quantity=quantity.quantity,
                value=outlier.value,
                # Of contrast and saturation: what the picture would have without the change.
                expected=outlier.value - outlier.deviation
                if outlier.ratio is not None
                else quantity.centre,
                difference=outlier.deviation,
                unit=quantity.unit,
            )


def alike_findings(series: Series) -> Iterator[Finding]:
    """One finding for each group of alike pictures."""
    for group in series.alike:
        code = FindingCode.SAME_FILE if group.same_file else FindingCode.NEARLY_THE_SAME
        yield Finding(code, group.files, severity=float(len(group.files)))


def repetition_findings(portfolio: Portfolio | None, series: Series) -> Iterator[Finding]:
    """One finding for each group of pictures that repeat each other.

    Groups of which another finding says already that they are the same picture are left out.
    """
    if portfolio is None:
        return
    same = [{*group.files} for group in series.alike]
    same += [{pair.whole, pair.crop} for pair in series.crops]
    for group in portfolio.repetitions:
        if not any({*group.files} <= files for files in same):
            severity = len(group.files) - min(group.distance, 1.0)
            yield Finding(FindingCode.REPEATED, group.files, severity=severity)


def crop_findings(series: Series) -> Iterator[Finding]:
    """One finding for each photograph that the set has in several framings.

    Of two pictures the crop comes first, beside which the finding stands; of more, those that are
    crops of no other picture.
    """
    for pairs in _joined_crops(series.crops):
        wholes = dict.fromkeys(pair.whole for pair in pairs)
        crops = dict.fromkeys(pair.crop for pair in pairs)
        if len(pairs) > 1:
            files = (*(file for file in wholes if file not in crops), *crops)
            yield Finding(FindingCode.CROPPED, files, severity=float(len(files)))
            continue
        (pair,) = pairs
        yield Finding(
            FindingCode.CROPPED,
            (pair.crop, pair.whole),
            severity=2.0,
            value=pair.box.area_fraction,
            unit="fraction of frame",
        )


def _joined_crops(crops: Sequence[CroppedPicture]) -> list[list[CroppedPicture]]:
    """Pairs that have pictures in common, together; in the order of their first pairs."""
    group_of: dict[str, list[CroppedPicture]] = {}
    for pair in crops:
        group, other = (group_of.get(file, []) for file in (pair.whole, pair.crop))
        joined = [*group, *([] if other is group else other), pair]
        group_of.update((file, joined) for one in joined for file in (one.whole, one.crop))
    return list({id(group): group for group in group_of.values()}.values())
