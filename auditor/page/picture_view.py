"""One picture as the page shows it: rounded, worded and drawn."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from auditor.output.previews import Preview
from auditor.page.drawing import shapes
from auditor.page.drawing.marks import Frame
from auditor.page.drawing.overlay import Overlay, draw_overlay
from auditor.page.drawing.palette_bar import Patch, palette_bar
from auditor.page.links import Link, Source, source_of
from auditor.record.picture_record import (
    AdviceRecord,
    ItemRecord,
    MeasuredImageRecord,
    Verdict,
)
from auditor.record.plan_records import PlannedColourRecord
from auditor.wording.names import VERDICT_WORDS, title, why_not
from auditor.wording.numbers import decimal, percent
from auditor.wording.picture_rows import capture_line, details_of
from auditor.wording.plan_sentences import advice_sentence, miss_sentence, reaches_sentence
from auditor.wording.row import Detail
from auditor.wording.values import Cell, Difference, difference, value_cell

VERDICTS: tuple[Verdict, ...] = ("met", "close", "missed", "undecided")


@dataclass(frozen=True, slots=True)
class Tally:
    """How many items came out one way."""

    verdict: str
    word: str
    n: int


@dataclass(frozen=True, slots=True)
class PlannedColourView:
    """A planned colour and what is nearest to it."""

    planned: str
    nearest: str
    words: str


@dataclass(frozen=True, slots=True)
class PlanRow:
    """One planned item."""

    title: str
    planned: Cell
    measured: Cell
    difference: Difference
    verdict: str
    word: str
    note: str
    colours: tuple[PlannedColourView, ...]


@dataclass(frozen=True, slots=True)
class Crop:
    """A crop drawn over the picture: what is cut off, and the edge of what stays."""

    width: int
    height: int
    outside: str
    edge: str


@dataclass(frozen=True, slots=True)
class AdviceView:
    """One thing to do, what it would reach, and its drawing for a crop."""

    sentence: str
    reaches: str
    crop: Crop | None


@dataclass(frozen=True, slots=True)
class PictureView:
    """A measured picture.

    `source` and `overlay` are None where there is no preview.
    """

    link: Link
    source: Source | None
    overlay: Overlay | None
    shot: str
    capture: str
    tallies: tuple[Tally, ...]
    misses: tuple[str, ...]
    rows: tuple[PlanRow, ...]
    advice: tuple[AdviceView, ...]
    warnings: tuple[str, ...]
    palette: tuple[Patch, ...]
    details: tuple[Detail, ...]


def picture_view(
    image: MeasuredImageRecord, link: Link, preview: Preview | None, warnings: Sequence[str]
) -> PictureView:
    """Make the page's data of one picture."""
    items = image.plan.items if image.plan else []
    return PictureView(
        link=link,
        source=source_of(preview),
        overlay=draw_overlay(image, preview.width, preview.height) if preview else None,
        shot=image.plan.shot if image.plan else "",
        capture=capture_line(image.camera),
        tallies=tally(items),
        misses=tuple(miss_sentence(item, image) for item in items if item.verdict == "missed"),
        rows=tuple(_row(item, image) for item in items),
        advice=tuple(_advice(advice, image, preview) for advice in image.advice),
        warnings=tuple(warnings),
        palette=palette_bar(image.palette),
        details=details_of(image),
    )


def tally(items: Iterable[ItemRecord]) -> tuple[Tally, ...]:
    """Count the verdicts that occur, best first."""
    counts = Counter(item.verdict for item in items)
    return tuple(
        Tally(verdict, VERDICT_WORDS[verdict], counts[verdict])
        for verdict in VERDICTS
        if counts[verdict]
    )


def _row(item: ItemRecord, image: MeasuredImageRecord) -> PlanRow:
    undecided = item.verdict == "undecided"
    return PlanRow(
        title(item.quantity),
        value_cell(item.quantity, item.planned, item.unit),
        value_cell(item.quantity, item.measured, item.unit),
        difference(item),
        item.verdict,
        VERDICT_WORDS[item.verdict],
        why_not(item, image.reasons) if undecided else "",
        tuple(_planned_colour(colour) for colour in item.colours),
    )


def _planned_colour(colour: PlannedColourRecord) -> PlannedColourView:
    apart = f"{decimal(colour.difference, 0)} ΔE₀₀ apart, on {percent(colour.share)} of the frame"
    found = "found" if colour.found else "not found"
    return PlannedColourView(
        colour.planned, colour.nearest, f"{found}: {colour.name} {colour.nearest}, {apart}"
    )


def _advice(
    advice: AdviceRecord, image: MeasuredImageRecord, preview: Preview | None
) -> AdviceView:
    drawn = None
    if advice.crop is not None and preview is not None:
        frame = Frame(preview.width, preview.height)
        edge = shapes.rectangle(frame.box(advice.crop))
        whole = shapes.rectangle(frame.box((0, 0, 1, 1)))
        drawn = Crop(frame.width, frame.height, whole + edge, edge)
    return AdviceView(advice_sentence(advice, image), reaches_sentence(list(advice.reaches)), drawn)
