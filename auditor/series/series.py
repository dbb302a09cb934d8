"""The pictures as one set: what they share and which leave it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from auditor.measurements.measured_photograph import MeasuredPhotograph
from auditor.series.duplicates import find_duplicates
from auditor.series.groups import Group, group_by_surface
from auditor.series.outliers import SeriesQuantity, follow
from auditor.series.quantities import SET_QUANTITIES
from auditor.series.temperature_clusters import SeriesTemperatureCluster, cluster_temperatures


@dataclass(frozen=True, slots=True)
class Series:
    """What was found over the set."""

    quantities: tuple[SeriesQuantity, ...]
    colour_temperature_clusters: tuple[SeriesTemperatureCluster, ...]
    duplicates: tuple[tuple[str, str], ...]
    groups: tuple[Group, ...]


def describe_series(measured: Sequence[MeasuredPhotograph]) -> Series:
    """Describe the set of pictures, in their order."""
    return Series(
        tuple(follow(quantity, measured) for quantity in SET_QUANTITIES),
        cluster_temperatures(measured),
        find_duplicates(measured),
        group_by_surface(measured),
    )
