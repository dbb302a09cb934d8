"""Pictures of about the same colour temperature."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from statistics import median

from auditor.measurements.colour_temperature import TOLERANCE_MIRED
from auditor.series.statistics.series_quantity import SeriesQuantity
from auditor.series.white_balance.set_temperatures import SetTemperature

# Two neighbouring pictures farther apart than this have different light: about four just noticeable
# steps of 5 mired (from memory), and more than the error of one picture.
CLUSTER_GAP_MIRED = 20
# Pictures of different tied groups are separated by the levels of their groups. Each level has the
# tolerance of a single picture, and counts only if it is likely enough to be right: three to one,
# as for a plan that is met (our choice, no source).
UNSHARED_GAP_MIRED = 2 * TOLERANCE_MIRED
LEAST_GROUP_CONFIDENCE = 0.75

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
        Shift that makes them as warm as the largest cluster: positive to warm them, negative to
        cool them; 0 for the largest itself.
    """

    cct_k: float
    mired: float
    files: tuple[str, ...]
    shift_mired: float


def cluster_temperatures(
    temperatures: Mapping[str, SetTemperature],
) -> tuple[SeriesTemperatureCluster, ...]:
    """Split the set where the gap between two neighbours in mired is too large for one light.

    Parameters
    ----------
    temperatures : mapping
        By file, in the order of the set, from `compared_temperatures`.

    Returns
    -------
    tuple of SeriesTemperatureCluster
        Largest first. Pictures that cannot be assigned are left out: those without a colour
        temperature, loosely tied ones that fit several clusters or none, and those of another tied
        group than most whose level is not confident enough.
    """
    order = {file: place for place, file in enumerate(temperatures)}
    clusters: list[Cluster] = []
    for mired, file in sorted((one.mired, file) for file, one in _placed(temperatures).items()):
        last = clusters[-1][-1] if clusters else None
        if last is not None and mired - last[0] <= _gap(temperatures[last[1]], temperatures[file]):
            clusters[-1].append((mired, file))
        else:
            clusters.append([(mired, file)])
    loose = {file: one for file, one in temperatures.items() if _is_loose(one)}
    _join(clusters, [temperatures[cluster[0][1]].group for cluster in clusters], loose)
    clusters.sort(key=lambda cluster: (-len(cluster), _middle(cluster)))
    return tuple(_describe(cluster, _middle(clusters[0]), order) for cluster in clusters)


def centred_on_largest(
    followed: SeriesQuantity, clusters: Sequence[SeriesTemperatureCluster]
) -> SeriesQuantity:
    """Colour temperature over the set, relative to its largest cluster if it has several.

    Who leaves the set and which group is warmer are then told by the same distances.
    """
    if len(clusters) < 2 or followed.centre is None:
        return followed
    centre = clusters[0].mired
    outliers = tuple(replace(one, deviation=one.value - centre) for one in followed.outliers)
    return replace(followed, centre=centre, outliers=outliers, farthest=None)


def _placed(temperatures: Mapping[str, SetTemperature]) -> dict[str, SetTemperature]:
    """Pictures of the largest tied group, and those that can be compared with it by their level."""
    certain = {file: one for file, one in temperatures.items() if not _is_loose(one)}
    sizes = Counter(one.group for one in certain.values())
    most = max(
        certain.values(),
        key=lambda one: (sizes[one.group], one.group_confidence),
        default=None,
    )
    if most is None:
        return {}
    return {
        file: one
        for file, one in certain.items()
        if one.group == most.group
        or min(one.group_confidence, most.group_confidence) >= LEAST_GROUP_CONFIDENCE
    }


def _is_loose(temperature: SetTemperature) -> bool:
    """Whether a tied picture has a tolerance larger than the gap between two lights."""
    return temperature.is_tied and temperature.tolerance > CLUSTER_GAP_MIRED


def _join(
    clusters: Sequence[Cluster], groups: Sequence[int], loose: Mapping[str, SetTemperature]
) -> None:
    """Add loosely tied pictures to the only cluster that they fit; they make no cluster."""
    middles = [_middle(cluster) for cluster in clusters]
    for file, one in loose.items():
        near = [n for n, mired in enumerate(middles) if abs(one.mired - mired) <= one.tolerance]
        if len(near) == 1 and groups[near[0]] == one.group:
            clusters[near[0]].append((one.mired, file))


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
