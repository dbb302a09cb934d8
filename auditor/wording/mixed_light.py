"""Mixed light: where each light falls, as runs of cells and in words."""

from __future__ import annotations

from dataclasses import dataclass

from auditor.geometry import Box
from auditor.record.colour_records import ColourTemperatureRecord
from auditor.wording.numbers import kelvin, percent

# From this share of its area in one half of the frame on a light lies "mostly" there, from the
# larger one on simply "there" (common practice, no source).
MOSTLY, ALL = 0.65, 0.9
NUMBER_WORDS = {2: "two", 3: "three", 4: "four"}


@dataclass(frozen=True, slots=True)
class LitPlaces:
    """One light: its colour temperature and where it falls, as runs of cells.

    Attributes
    ----------
    cct_k : float
    share : float
        Of the area that the subject and the elements leave free.
    runs : tuple of Box
        Each a stretch of one row, as fractions of the frame.
    """

    cct_k: float
    share: float
    runs: tuple[Box, ...]


def lit_places(found: ColourTemperatureRecord) -> tuple[LitPlaces, ...]:
    """The lights of a picture, largest share first; empty under one light."""
    if not found.light_map:
        return ()
    return tuple(
        LitPlaces(cluster.cct_k, cluster.share, tuple(_runs(found.light_map, str(index))))
        for index, cluster in enumerate(found.clusters)
    )


def _runs(rows: list[str], light: str) -> list[Box]:
    runs = []
    for y, row in enumerate(rows):
        x = 0
        while (start := row.find(light, x)) >= 0:
            x = start + len(row[start:]) - len(row[start:].lstrip(light))
            width, height = len(row), len(rows)
            runs.append(Box(start / width, y / height, x / width, (y + 1) / height))
    return runs


def mixed_light_words(found: ColourTemperatureRecord) -> str:
    """Say which lights fall where: ``"…: 5200 K on 70% of the free area, mostly left; …"``.

    A light-toned object of a warm colour looks like white in a warmer light, so the words name both
    causes.
    """
    lights = lit_places(found)
    if not lights:
        return ""
    parts = [
        ", ".join(part for part in (_share_words(light, first=not n), _where(light)) if part)
        for n, light in enumerate(lights)
    ]
    number = NUMBER_WORDS.get(len(lights), str(len(lights)))
    return f"mixed light (or warm-coloured objects), {number} colours: {'; '.join(parts)}"


def _share_words(light: LitPlaces, *, first: bool) -> str:
    of = " of the free area" if first else ""
    return f"{kelvin(light.cct_k)} on {percent(light.share)}{of}"


def _where(light: LitPlaces) -> str:
    """Name the half or the corner in which a light lies; empty where it lies all over."""
    total = sum(run.area_fraction for run in light.runs)
    if not total:
        return ""
    left = sum(_within(run.left, run.right) * run.area_fraction for run in light.runs) / total
    top = sum(_within(run.top, run.bottom) * run.area_fraction for run in light.runs) / total
    sides = [
        (max(share, 1 - share), first if share >= 0.5 else second)
        for share, first, second in ((top, "upper", "lower"), (left, "left", "right"))
    ]
    named = [(share, word) for share, word in sides if share >= MOSTLY]
    if not named:
        return "all over"
    words = " ".join(word for _, word in named)
    mostly = "" if all(share >= ALL for share, _ in named) else "mostly "
    return f"{mostly}{words}"


def _within(start: float, end: float) -> float:
    """Share of a stretch that lies in the first half."""
    return min(max((0.5 - start) / (end - start), 0.0), 1.0)
