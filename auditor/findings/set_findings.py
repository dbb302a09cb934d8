"""Findings about the set: outliers, groups of another colour temperature, alike pictures."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Set
from dataclasses import dataclass
from statistics import median

from auditor.findings.codes import FindingCode
from auditor.findings.finding import Finding
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


@dataclass(frozen=True, slots=True)
class TemperatureGroup:
    """Several pictures that are warmer or cooler than most of the set.

    Attributes
    ----------
    files : tuple of str
    mired, centre_mired : float
        Colour temperature of the group, and of the set.
    """

    files: tuple[str, ...]
    mired: float
    centre_mired: float


def temperature_groups(series: Series) -> tuple[TemperatureGroup, ...]:
    """Groups of two or more pictures whose colour temperature is not that of most.

    Their place is counted on the same scale as that of single outliers, so that one fact has one
    number.
    """
    followed = next((q for q in series.quantities if q.quantity == TEMPERATURE), None)
    if followed is None or followed.centre is None:
        return ()
    values = {
        **dict(followed.values),
        **{outlier.file: outlier.value for outlier in followed.outliers},
    }
    found = []
    for cluster in series.colour_temperature_clusters[1:]:
        known = [values[file] for file in cluster.files if file in values]
        if len(cluster.files) > 1 and known:
            found.append(TemperatureGroup(tuple(cluster.files), median(known), followed.centre))
    return tuple(found)


def group_findings(series: Series, explained: Set[tuple[str, str]]) -> Iterator[Finding]:
    """One finding for each group of another colour temperature.

    A group that holds outliers of the set is an outlier itself.

    Parameters
    ----------
    series : Series
    explained : set of (str, str)
        File and quantity of what another finding covers already.
    """
    leaving = leaving_of(series)
    spread = next((q.spread for q in series.quantities if q.quantity == TEMPERATURE), None)
    for group in temperature_groups(series):
        files = tuple(file for file in group.files if (file, TEMPERATURE) not in explained)
        if not files:
            continue
        is_outlier = any((file, TEMPERATURE) in leaving for file in files)
        difference = group.mired - group.centre_mired
        yield Finding(
            FindingCode.SET_OUTLIER if is_outlier else FindingCode.TEMPERATURE_GROUP,
            files,
            severity=abs(difference) / spread if spread else 0.0,
            quantity=TEMPERATURE,
            value=group.mired,
            expected=group.centre_mired,
            difference=difference,
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
                expected=quantity.centre,
                difference=outlier.deviation,
                unit=quantity.unit,
            )


def alike_findings(series: Series) -> Iterator[Finding]:
    """One finding for each group of alike pictures."""
    for group in series.alike:
        code = FindingCode.SAME_FILE if group.same_file else FindingCode.NEARLY_THE_SAME
        yield Finding(code, group.files, severity=float(len(group.files)))
