"""The lights of the set: which pictures stand in another than most, and what would join them."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from auditor.record.audit_record import SeriesRecord, SeriesTemperatureClusterRecord
from auditor.wording.numbers import count
from auditor.wording.warmth import shift_back_words, warmer_words


@dataclass(frozen=True, slots=True)
class OtherLight:
    """Pictures in another light than most: who, how much warmer, and than what."""

    files: tuple[str, ...]
    mired: float
    rest: str

    def sentence(self, n_files: int) -> str:
        """Say it of so many of the files."""
        back = shift_back_words(-self.mired, "it" if n_files == 1 else "them")
        return f"{warmer_words(self.mired)} than {self.rest}; to join, {back}"


def other_lights(series: SeriesRecord) -> tuple[OtherLight, ...]:
    """All lights of the set but that of most pictures, largest first."""
    clusters = series.colour_temperature_clusters
    return tuple(_other_lights(clusters[0], clusters[1:])) if clusters else ()


def _other_lights(
    most: SeriesTemperatureClusterRecord, others: Sequence[SeriesTemperatureClusterRecord]
) -> Iterator[OtherLight]:
    n_most = len(most.files)
    rest = f"the other {n_most}" if len(others) == 1 else f"the largest group of {n_most}"
    for cluster in others:
        yield OtherLight(tuple(cluster.files), -cluster.shift_mired, rest)


def unplaced_words(series: SeriesRecord, n_known: int) -> str:
    """Say of how many pictures it is open in which light they stand; empty where of none."""
    n_open = n_known - sum(len(cluster.files) for cluster in series.colour_temperature_clusters)
    if n_open <= 0:
        return ""
    few = count(n_open, "picture shares", "pictures share")
    return f"{few} too little with the others to be compared for sure"
