"""The top of the page: the set at a glance, what to look at first, the contact sheet."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from auditor.output.previews import Preview
from auditor.page.drawing.palette_bar import BAR_LENGTH, Patch, palette_bar
from auditor.page.links import Link, Source, link_to, source_of
from auditor.page.picture_view import Tally, tally
from auditor.record.audit_record import AuditRecord
from auditor.record.finding_record import FindingRecord
from auditor.record.picture_record import (
    PictureRecord,
    RefusedPictureRecord,
)
from auditor.record.plan_records import VERDICTS, ItemRecord
from auditor.wording.findings import KINDS, is_of_one_picture
from auditor.wording.headline import (
    NOT_MEASURED,
    gravest_verdict,
    planned_items,
    set_name,
    subtitle,
)
from auditor.wording.quantity_names import VERDICT_MEANINGS, title

MOST_FINDINGS_SHOWN = 12  # more is a wall; the rest folds away under it
MOST_LINKED = 20  # numbers of pictures that fit two lines


@dataclass(frozen=True, slots=True)
class FindingView:
    """One finding: of one picture (`link`), of several (`others`), or of none yet.

    `n_more` pictures are not named any more.
    """

    kind: str
    message: str
    link: Link | None
    others: tuple[Link, ...]
    n_more: int


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
    findings: tuple[FindingView, ...]
    more_findings: tuple[FindingView, ...]
    contact: tuple[ContactFrame, ...]


def overview_of(
    record: AuditRecord, links: Mapping[str, Link], previews: Mapping[str, Preview]
) -> Overview:
    """Make the top of the page."""
    items = planned_items(record)
    findings = tuple(_finding(finding, links) for finding in record.findings)
    return Overview(
        set_name(record),
        subtitle(record),
        tuple(record.headline),
        tally(items),
        tuple(VerdictHead(verdict, VERDICT_MEANINGS[verdict]) for verdict in VERDICTS),
        _quantity_tallies(items),
        findings[:MOST_FINDINGS_SHOWN],
        findings[MOST_FINDINGS_SHOWN:],
        tuple(_frame(picture, links, previews) for picture in record.images),
    )


def _finding(finding: FindingRecord, links: Mapping[str, Link]) -> FindingView:
    named = tuple(link_to(file, links) for file in finding.files)
    kind = KINDS[finding.code]
    if not named or is_of_one_picture(finding):
        return FindingView(kind, finding.message, named[0] if named else None, (), 0)
    shown, rest = named[:MOST_LINKED], named[MOST_LINKED:]
    return FindingView(kind, finding.message, None, shown, len(rest))


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
