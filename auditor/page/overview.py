"""The set at a glance: what it does and does not do, and what to look at first."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import PurePath, PureWindowsPath

from auditor.findings.gathering import Matter, matters_of
from auditor.output.previews import Preview
from auditor.page.drawing.palette_bar import BAR_LENGTH, Patch, palette_bar
from auditor.page.links import Link, Source, source_of
from auditor.page.picture_view import VERDICTS, Tally, tally
from auditor.record.audit_record import (
    AuditRecord,
    SeriesQuantityRecord,
)
from auditor.record.picture_record import (
    ImageRecord,
    ItemRecord,
    MeasuredImageRecord,
    RefusedImageRecord,
)
from auditor.wording.names import VERDICT_WORDS, in_sentence, title_of_kind
from auditor.wording.numbers import count, day, file_name, listed

MOST_MATTERS_SHOWN = 12  # more is a wall; the rest folds away under it
MOST_NAMED = 3  # quantities named in the headline


@dataclass(frozen=True, slots=True)
class Segment:
    """Part of a bar of verdicts."""

    verdict: str
    start: str
    length: str


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
    quantities: tuple[QuantityTally, ...]
    matters: tuple[Matter, ...]
    more_matters: tuple[Matter, ...]
    contact: tuple[ContactFrame, ...]


def overview_of(
    record: AuditRecord, links: Mapping[str, Link], previews: Mapping[str, Preview]
) -> Overview:
    """Make the top of the page."""
    items = planned_items(record)
    matters = matters_of(record, links)
    return Overview(
        set_name(record),
        _subtitle(record),
        headline(record, items),
        tally(items),
        _quantity_tallies(items),
        matters[:MOST_MATTERS_SHOWN],
        matters[MOST_MATTERS_SHOWN:],
        tuple(_frame(image, links, previews) for image in record.images),
    )


def planned_items(record: AuditRecord) -> list[ItemRecord]:
    """All planned items of all pictures."""
    return [
        item
        for image in record.images
        if isinstance(image, MeasuredImageRecord) and image.plan is not None
        for item in image.plan.items
    ]


def last_part(path: str) -> str:
    """A path's last part alone: the folders above it can betray a home or a client."""
    name = PureWindowsPath(path).name if "\\" in path else PurePath(path).name
    return file_name(name)


def set_name(record: AuditRecord) -> str:
    """What the set is called: by its plan, else by its folder."""
    return record.title or last_part(record.folder) or "The set"


def _subtitle(record: AuditRecord) -> str:
    refused = sum(isinstance(image, RefusedImageRecord) for image in record.images)
    named = [last_part(record.folder)] if record.title and record.folder else []
    parts = [*named, count(len(record.images) - refused, "picture") + " measured"]
    if refused:
        parts.append(f"{refused} could not be read")
    parts.append(f"plan: {last_part(record.plan)}" if record.plan else "without a plan")
    return " · ".join([*parts, day(record.created)])


def headline(record: AuditRecord, items: list[ItemRecord]) -> tuple[str, ...]:
    """Say in at most three sentences what the set does and does not do."""
    sentences = []
    if items:
        sentences.append(_plan_sentence(record, items))
        missed = _most_missed(items)
        if missed:
            sentences.append(f"Missed most often: {missed}.")
    elif not record.plan:
        sentences.append("No plan was given, so the pictures are set beside each other only.")
    else:
        sentences.append("No picture belongs to a planned shot.")
    if record.series.quantities:
        sentences.append(_set_sentence(record.series.quantities))
    return tuple(sentences)


def _plan_sentence(record: AuditRecord, items: list[ItemRecord]) -> str:
    there = sum(not shot.missing for shot in record.shots)
    shots = f"{there} of {count(len(record.shots), 'planned shot')} {_are(there)} there; "
    counts = Counter(item.verdict for item in items)
    ways = {"met": "as planned", "close": "close", "missed": "missed", "undecided": "undecided"}
    parts = [f"{counts[v]} {ways[v]}" for v in VERDICTS if counts[v]]
    opening = shots if record.shots else ""
    return f"{opening}of {count(len(items), 'planned item')}, {listed(parts)}.".capitalize()


def _are(n: int) -> str:
    return "is" if n == 1 else "are"


def _most_missed(items: list[ItemRecord]) -> str:
    counts = Counter(title_of_kind(item.quantity) for item in items if item.verdict == "missed")
    named = [name[:1].lower() + name[1:] for name, _ in counts.most_common(MOST_NAMED)]
    return listed(named)


def _set_sentence(quantities: list[SeriesQuantityRecord]) -> str:
    leaving = {outlier.file for quantity in quantities for outlier in quantity.outliers}
    names = [in_sentence(quantity.quantity) for quantity in quantities if quantity.outliers]
    if not leaving:
        return "The pictures hold together as one set; none leaves it."
    pictures = f"{count(len(leaving), 'picture')} {'leaves' if len(leaving) == 1 else 'leave'}"
    return f"{pictures} the set, in {listed(names)}."


def _quantity_tallies(items: list[ItemRecord]) -> tuple[QuantityTally, ...]:
    """One row a quantity, in the order in which the plan's items come; supporting ones as one."""
    counts: dict[str, Counter[str]] = {}
    for item in items:
        counts.setdefault(title_of_kind(item.quantity), Counter())[item.verdict] += 1
    return tuple(
        QuantityTally(name, tuple(found[v] for v in VERDICTS), _bar(found))
        for name, found in counts.items()
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
    image: ImageRecord, links: Mapping[str, Link], previews: Mapping[str, Preview]
) -> ContactFrame:
    link = links[image.file]
    if isinstance(image, RefusedImageRecord):
        return ContactFrame(link, None, (), "", "could not be read")
    items = image.plan.items if image.plan else []
    verdict, state = _state(items)
    return ContactFrame(
        link, source_of(previews.get(image.file)), palette_bar(image.palette), verdict, state
    )


def _state(items: list[ItemRecord]) -> tuple[str, str]:
    """The verdict that weighs most in a picture, with its count."""
    counts = Counter(item.verdict for item in items)
    for verdict in ("missed", "close", "undecided", "met"):
        if counts[verdict]:
            n = f"{counts[verdict]} " if verdict != "met" else "all "
            return verdict, n + VERDICT_WORDS[verdict]
    return "", ""
