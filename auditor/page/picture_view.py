"""One picture as the page shows it: rounded, worded and drawn."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from auditor.findings.codes import ABOUT_FILES
from auditor.output.previews import Preview
from auditor.page.advice_view import AdviceView, advice_view
from auditor.page.drawing.clipping_map import ClippingMap, clipping_map
from auditor.page.drawing.palette_bar import Patch, palette_bar
from auditor.page.drawing.picture_marks import Overlay, draw_overlay
from auditor.page.links import Link, Source, source_of
from auditor.record.finding_record import FindingRecord
from auditor.record.picture_record import (
    MeasuredPictureRecord,
)
from auditor.record.plan_records import (
    VERDICTS,
    ItemRecord,
    PlannedColourRecord,
)
from auditor.wording.camera_settings import capture_line
from auditor.wording.cells import Cell
from auditor.wording.marks import no_subject_sentence
from auditor.wording.matches import match_sentences
from auditor.wording.measured_row import MeasuredRow
from auditor.wording.measured_rows import measured_rows
from auditor.wording.on_purpose import ON_PURPOSE, reason_sentence
from auditor.wording.plan_items import (
    Difference,
    difference,
    matched_colour,
    measured_cell,
    planned_cell,
)
from auditor.wording.quantity_names import title

MEANT = "meant"  # the symbol of what is off its plan on purpose


@dataclass(frozen=True, slots=True)
class Tally:
    """How many items have one verdict, or are off their plan on purpose; `shape` is the symbol."""

    shape: str
    n: int
    word: str


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
    is_on_purpose: bool
    note: str
    colours: tuple[PlannedColourView, ...]


@dataclass(frozen=True, slots=True)
class ReadingView:
    """One sentence about the picture, and the figures behind it; empty where there are none."""

    sentence: str
    figures: str


@dataclass(frozen=True, slots=True)
class RowView:
    """One row of the table of measurements, with its drawing."""

    row: MeasuredRow
    clipping: ClippingMap | None


@dataclass(frozen=True, slots=True)
class PictureView:
    """A measured picture.

    `meant` are the misses on purpose, `mirrored` the sentence that the mirror image was taken.
    `source` and `overlay` are None where there is no preview. `no_subject` says why the subject is
    not marked.
    """

    link: Link
    source: Source | None
    overlay: Overlay | None
    no_subject: str
    shot: str
    matched: tuple[str, ...]
    capture: str
    tallies: tuple[Tally, ...]
    mirrored: str
    misses: tuple[str, ...]
    meant: tuple[str, ...]
    rows: tuple[PlanRow, ...]
    advice: tuple[AdviceView, ...]
    reading: tuple[ReadingView, ...]
    warnings: tuple[str, ...]
    palette: tuple[Patch, ...]
    measured: tuple[RowView, ...]


def picture_view(
    picture: MeasuredPictureRecord,
    link: Link,
    preview: Preview | None,
    warnings: Sequence[str],
) -> PictureView:
    """Make the page's data of one picture; `warnings` are those about its file."""
    items = picture.plan.items if picture.plan else []
    return PictureView(
        link=link,
        source=source_of(preview),
        overlay=draw_overlay(picture, preview.width, preview.height) if preview else None,
        no_subject=no_subject_sentence(picture),
        shot=picture.plan.shot if picture.plan else "",
        matched=match_sentences(picture),
        capture=capture_line(picture.camera),
        tallies=tally(items),
        mirrored=picture.plan.message if picture.plan else "",
        misses=tuple(item.message for item in items if item.is_fault),
        meant=tuple(item.message for item in items if item.verdict == "missed" and item.on_purpose),
        rows=tuple(_row(item) for item in items),
        advice=tuple(advice_view(advice, preview) for advice in picture.advice),
        reading=_reading(picture),
        warnings=tuple(warnings),
        palette=palette_bar(picture.palette),
        measured=tuple(
            RowView(row, clipping_map(picture) if row.has_clipping_map else None)
            for row in measured_rows(picture)
        ),
    )


def warnings_by_file(findings: Iterable[FindingRecord]) -> dict[str, list[str]]:
    """What is found about the file of each picture, in words."""
    found: dict[str, list[str]] = {}
    for finding in findings:
        if finding.code in ABOUT_FILES and len(finding.files) == 1:
            found.setdefault(finding.files[0], []).append(finding.message)
    return found


def _reading(picture: MeasuredPictureRecord) -> tuple[ReadingView, ...]:
    figures = picture.reading_figures or [""] * len(picture.reading)
    pairs = zip(picture.reading, figures, strict=True)
    return tuple(ReadingView(sentence, behind) for sentence, behind in pairs)


def tally(items: Iterable[ItemRecord]) -> tuple[Tally, ...]:
    """Count the verdicts that occur, best first, and apart from them what is off on purpose."""
    counts = Counter(MEANT if item.on_purpose else item.verdict for item in items)
    words = {verdict: str(verdict) for verdict in VERDICTS} | {MEANT: ON_PURPOSE}
    return tuple(Tally(name, counts[name], word) for name, word in words.items() if counts[name])


def _row(item: ItemRecord) -> PlanRow:
    return PlanRow(
        title(item.quantity, item.element),
        planned_cell(item),
        measured_cell(item),
        difference(item),
        item.verdict,
        bool(item.on_purpose),
        item.message if item.verdict == "undecided" else reason_sentence(item),
        tuple(_planned_colour(colour) for colour in item.colours),
    )


def _planned_colour(colour: PlannedColourRecord) -> PlannedColourView:
    matched = matched_colour(colour)
    return PlannedColourView(colour.planned, matched.hex, matched.text)
