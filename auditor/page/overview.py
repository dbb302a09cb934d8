"""The top of the page: the set at a glance, against its plan, the contact sheet."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from auditor.output.previews import Preview
from auditor.page.drawing.palette_bar import BAR_LENGTH, Patch, palette_bar
from auditor.page.links import Link, Source, source_of
from auditor.page.picture_view import Tally, tally
from auditor.record.audit_record import AuditRecord
from auditor.record.picture_record import (
    PictureRecord,
    RefusedPictureRecord,
)
from auditor.record.plan_records import VERDICTS, ItemRecord
from auditor.wording.headline import (
    gravest_verdict,
    planned_items,
)
from auditor.wording.quantity_names import VERDICT_MEANINGS, title
from auditor.wording.set_title import NOT_MEASURED, set_name, subtitle


@dataclass(frozen=True, slots=True)
class Segment:
    """Part of a bar of verdicts."""

    verdict: str
    start: str
    length: str


@dataclass(frozen=True, slots=True)
class VerdictHead:
    """A column of the table of verdicts: its word, and what the word means."""

    word: str
    meaning: str


@dataclass(frozen=True, slots=True)
class QuantityTally:
    """One planned quantity over all pictures; `cells` in the order of the verdicts."""

    title: str
    cells: tuple[int, ...]
    bar: tuple[Segment, ...]


@dataclass(frozen=True, slots=True)
class ContactFrame:
    """One picture on the contact sheet; without a source where it could not be read."""

    link: Link
    source: Source | None
    palette: tuple[Patch, ...]
    verdict: str
    state: str


@dataclass(frozen=True, slots=True)
class Overview:
    """The top of the page."""

    title: str
    subtitle: str
    headline: tuple[str, ...]
    tallies: tuple[Tally, ...]
    verdicts: tuple[VerdictHead, ...]
    quantities: tuple[QuantityTally, ...]
    contact: tuple[ContactFrame, ...]


def overview_of(
    record: AuditRecord, links: Mapping[str, Link], previews: Mapping[str, Preview]
) -> Overview:
    """Make the top of the page."""
    items = planned_items(record)
    return Overview(
        set_name(record),
        subtitle(record),
        tuple(record.headline),
        tally(items),
        tuple(VerdictHead(verdict, VERDICT_MEANINGS[verdict]) for verdict in VERDICTS),
        _quantity_tallies(items),
        tuple(_frame(picture, links, previews) for picture in record.images)
        if len(record.images) != 1
        else (),
    )


def _quantity_tallies(items: Sequence[ItemRecord]) -> tuple[QuantityTally, ...]:
    """One row a quantity, in the order in which the plan's items come; supporting ones as one.

    What is off its plan on purpose is not counted.
    """
    counts: dict[str, Counter[str]] = {}
    for item in items:
        if not item.on_purpose:
            counts.setdefault(item.quantity, Counter())[item.verdict] += 1
    return tuple(
        QuantityTally(title(quantity), tuple(found[v] for v in VERDICTS), _bar(found))
        for quantity, found in counts.items()
    )


def _bar(counts: Counter[str]) -> tuple[Segment, ...]:
    total = counts.total()
    segments = []
    start = 0.0
    for verdict in VERDICTS:
        length = counts[verdict] / total * BAR_LENGTH
        if length:
            segments.append(Segment(verdict, f"{start:.2f}", f"{length:.2f}"))
        start += length
    return tuple(segments)


def _frame(
    picture: PictureRecord, links: Mapping[str, Link], previews: Mapping[str, Preview]
) -> ContactFrame:
    link = links[picture.file]
    if isinstance(picture, RefusedPictureRecord):
        return ContactFrame(link, None, (), "", NOT_MEASURED)
    verdict, state = gravest_verdict(picture.plan.items if picture.plan else [])
    source = source_of(previews.get(picture.file))
    return ContactFrame(link, source, palette_bar(picture.palette), verdict, state)
