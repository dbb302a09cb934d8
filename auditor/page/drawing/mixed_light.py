"""Mixed light: where each light falls, in words and as regions to draw."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from auditor.geometry import Box, Point
from auditor.page.drawing import shapes
from auditor.page.drawing.marks import Frame, Label, Layer, Mark, Role
from auditor.record.picture_record import ColourTemperatureRecord, MeasuredImageRecord
from auditor.wording.numbers import kelvin, percent

# From this share of its neutrals in one half of the frame on a light lies "mostly" there, from the
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
        Of the picture's neutrals.
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
    """Say which lights fall where: ``"two lights: 5200 K on 70% of the neutrals, mostly left; …"``.

    What is light and of one warm colour passes for white in a warmer light, so that is said, too.
    """
    lights = lit_places(found)
    if not lights:
        return ""
    said = [
        ", ".join(part for part in (_share_words(light, first=not n), _where(light)) if part)
        for n, light in enumerate(lights)
    ]
    number = NUMBER_WORDS.get(len(lights), str(len(lights)))
    return f"{number} lights, or warm things in one: {'; '.join(said)}"


def _share_words(light: LitPlaces, *, first: bool) -> str:
    of = " of the neutrals" if first else ""
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


def draw_mixed_light(image: MeasuredImageRecord, frame: Frame) -> Layer:
    """Tint where each light falls, the warmest and the coolest in their own way, and name it."""
    every = list(lit_places(image.colour_temperature))
    kelvins = [light.cct_k for light in every]
    lights = [light for light in every if light.runs]
    marks, labels = [], []
    for light in lights:
        boxes = [frame.box(run) for run in light.runs]
        path = "".join(shapes.rectangle(box) for box in boxes)
        marks.append(Mark(path, _role(light.cct_k, kelvins)))
        labels.append(_label(boxes, kelvin(light.cct_k)))
    return Layer("lights", tuple(marks), tuple(labels))


def _role(cct_k: float, kelvins: Sequence[float]) -> Role:
    if cct_k == max(kelvins):
        return "cool"
    return "warm" if cct_k == min(kelvins) else "between"


def _label(boxes: Sequence[Box], text: str) -> Label:
    """A word on the stretch of a light that is nearest to its middle."""
    area = sum(box.area_fraction for box in boxes)
    middle = Point(
        sum((box.left + box.right) / 2 * box.area_fraction for box in boxes) / area,
        sum((box.top + box.bottom) / 2 * box.area_fraction for box in boxes) / area,
    )
    centres = [Point((box.left + box.right) / 2, (box.top + box.bottom) / 2) for box in boxes]
    at = min(centres, key=lambda c: math.hypot(c.x - middle.x, c.y - middle.y))
    return Label(shapes.number(at.x), shapes.number(at.y), text, "middle", "measured")
