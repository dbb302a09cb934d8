"""Pictures of about the same colour temperature."""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from statistics import median

from auditor.measurements.colour_temperature import TOLERANCE_MIRED
from auditor.series.white_balance.set_temperatures import SetTemperature

# Two neighbouring pictures further apart than this read as two lights; about four just noticeable
# steps of 5 mired (from memory), and more than one picture can be measured by.
CLUSTER_GAP_MIRED = 20
# Pictures that share nothing are told apart by their levels. Each of these is known to no more
# than the tolerance of a picture, and only where it is likely enough to be right at all: three to
# one, as for a plan that is met (choice, no source).
UNSHARED_GAP_MIRED = 2 * TOLERANCE_MIRED
LEAST_LEVEL_CONFIDENCE = 0.75


Cluster = list[tuple[float, str]]  # mired and file


@dataclass(frozen=True, slots=True)
class SeriesTemperatureCluster:
    """Pictures of about the same colour temperature.

    Attributes
    ----------
    cct_k, mired : float
        Their median, in kelvin and in mired.
    files : tuple of str
        In the order of the set.
    shift_mired : float
        What makes them as warm as the largest cluster: positive to warm them, negative to cool
        them; 0 for the largest itself.
    """

    cct_k: float
    mired: float
    files: tuple[str, ...]
    shift_mired: float


def cluster_temperatures(
    temperatures: Mapping[str, SetTemperature], known_mired: Mapping[str, float]
) -> tuple[SeriesTemperatureCluster, ...]:
    """Part the set where neighbours in mired lie further apart than two lights do.

    Parameters
    ----------
    temperatures : mapping
        By file, in the order of the set.
    known_mired : mapping
        What is best known of each picture, by file: a loosely tied one that contradicts the set
        may be tied wrongly.

    Returns
    -------
    tuple of SeriesTemperatureCluster
        Largest first. Pictures are left out of which it cannot be said where they belong: those
        without a colour temperature, those that are loosely tied and may belong to several or
        none, and those that share nothing with most others and are not sure by themselves.
    """
    order = {file: place for place, file in enumerate(temperatures)}
    clusters: list[Cluster] = []
    for mired, file in sorted((told.mired, file) for file, told in _sure(temperatures).items()):
        last = clusters[-1][-1] if clusters else None
        if last is not None and mired - last[0] <= _gap(temperatures[last[1]], temperatures[file]):
            clusters[-1].append((mired, file))
        else:
            clusters.append([(mired, file)])
    loose = {
        file: told
        for file, told in temperatures.items()
        if _is_loose(told) and abs(known_mired.get(file, math.inf) - told.mired) <= TOLERANCE_MIRED
    }
    _join(clusters, [temperatures[cluster[0][1]].group for cluster in clusters], loose)
    clusters.sort(key=lambda cluster: (-len(cluster), _middle(cluster)))
    return tuple(_describe(cluster, _middle(clusters[0]), order) for cluster in clusters)


def _sure(temperatures: Mapping[str, SetTemperature]) -> dict[str, SetTemperature]:
    """The largest well tied group, and what can be told from it by its level."""
    placed = {file: told for file, told in temperatures.items() if not _is_loose(told)}
    sizes = Counter(told.group for told in placed.values())
    most = max(
        placed.values(),
        key=lambda told: (sizes[told.group], told.level_confidence),
        default=None,
    )
    if most is None:
        return {}
    return {
        file: told
        for file, told in placed.items()
        if told.group == most.group
        or min(told.level_confidence, most.level_confidence) >= LEAST_LEVEL_CONFIDENCE
    }


def _is_loose(told: SetTemperature) -> bool:
    """Whether a tied picture is placed less surely than lights lie apart."""
    return told.is_tied and told.tolerance > CLUSTER_GAP_MIRED


def _join(
    clusters: Sequence[Cluster], groups: Sequence[int], loose: Mapping[str, SetTemperature]
) -> None:
    """Add loosely tied pictures where they can belong to one cluster only; they make none."""
    middles = [_middle(cluster) for cluster in clusters]
    for file, told in loose.items():
        near = [n for n, mired in enumerate(middles) if abs(told.mired - mired) <= told.tolerance]
        if len(near) == 1 and groups[near[0]] == told.group:
            clusters[near[0]].append((told.mired, file))


def _gap(one: SetTemperature, other: SetTemperature) -> float:
    return CLUSTER_GAP_MIRED if one.group == other.group else UNSHARED_GAP_MIRED


def _middle(cluster: Cluster) -> float:
    return median(mired for mired, _ in cluster)


def _describe(
    cluster: Cluster, largest_mired: float, order: dict[str, int]
) -> SeriesTemperatureCluster:
    mired = _middle(cluster)
    files = sorted((file for _, file in cluster), key=order.__getitem__)
    return SeriesTemperatureCluster(1e6 / mired, mired, tuple(files), largest_mired - mired)
