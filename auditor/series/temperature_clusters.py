"""Pictures of about the same colour temperature."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from statistics import median

from auditor.series.set_temperatures import SetTemperature

# Two neighbouring pictures further apart than this read as two lights; about four just noticeable
# steps of 5 mired (from memory), and more than one picture can be measured by.
CLUSTER_GAP_MIRED = 20


@dataclass(frozen=True, slots=True)
class SeriesTemperatureCluster:
    """Pictures of about the same colour temperature.

    Attributes
    ----------
    cct_k, mired : float
        Their median, in kelvin and in mired.
    files : tuple of str
        In the order of the set.
    """

    cct_k: float
    mired: float
    files: tuple[str, ...]


def cluster_temperatures(
    temperatures: Mapping[str, SetTemperature],
) -> tuple[SeriesTemperatureCluster, ...]:
    """Part the set where neighbours in mired lie further apart than `CLUSTER_GAP_MIRED`.

    Parameters
    ----------
    temperatures : mapping
        By file, in the order of the set.

    Returns
    -------
    tuple of SeriesTemperatureCluster
        Largest first; pictures without a colour temperature are left out.
    """
    order = {file: place for place, file in enumerate(temperatures)}
    readings = sorted((told.mired, file) for file, told in temperatures.items())
    clusters: list[list[tuple[float, str]]] = []
    for reading in readings:
        if clusters and reading[0] - clusters[-1][-1][0] <= CLUSTER_GAP_MIRED:
            clusters[-1].append(reading)
        else:
            clusters.append([reading])
    found = [_describe(cluster, order) for cluster in clusters]
    return tuple(sorted(found, key=lambda cluster: (-len(cluster.files), cluster.mired)))


def _describe(
    cluster: Sequence[tuple[float, str]], order: dict[str, int]
) -> SeriesTemperatureCluster:
    mired = median(value for value, _ in cluster)
    files = sorted((file for _, file in cluster), key=order.__getitem__)
    return SeriesTemperatureCluster(1e6 / mired, mired, tuple(files))
