"""What to do, by picture, as the page shows it: the gravest first, each with its picture."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import groupby

from auditor.findings.by_picture import is_of_one_picture
from auditor.findings.codes import FindingCode
from auditor.output.previews import Preview
from auditor.page.links import Link, LinkedPicture, Source, link_to, linked_pictures, source_of
from auditor.page.picture_view import Tally, tally
from auditor.record.attention_record import AttentionRecord
from auditor.record.audit_record import AuditRecord
from auditor.record.finding_record import FindingRecord
from auditor.record.picture_record import MeasuredPictureRecord
from auditor.record.plan_records import ItemRecord
from auditor.wording.attention import (
    HEADINGS,
    entry_messages,
    entry_title,
    files_of,
    findings_of,
    is_of_all,
)

MOST_SHOWN = 12  # more is a wall; on a screen the rest comes when it is asked for
LEAST_LATE = 4  # fewer are not worth a press (our choice, no source)
MOST_LINKED = 20  # small pictures that fit two lines


@dataclass(frozen=True, slots=True)
class EntryView:
    """What there is to do about one picture (`link`), or about several (`others`).

    `n_more` pictures are not shown any more; `is_absent` says that there is no picture: a shot
    that is missing. `is_late` entries come when they are asked for.
    """

    title: str
    link: Link | None
    source: Source | None
    shot: str
    tallies: tuple[Tally, ...]
    to_do: tuple[str, ...]
    messages: tuple[str, ...]
    others: tuple[LinkedPicture, ...]
    n_more: int
    is_absent: bool
    is_late: bool


@dataclass(frozen=True, slots=True)
class GroupView:
    """Entries of one gravity under their heading; late if all of them are."""

    heading: str
    entries: tuple[EntryView, ...]
    is_late: bool


@dataclass(frozen=True, slots=True)
class AttentionView:
    """All entries; `n_late` of them come when they are asked for."""

    groups: tuple[GroupView, ...]
    n_late: int


def attention_view(
    record: AuditRecord, links: Mapping[str, Link], previews: Mapping[str, Preview]
) -> AttentionView:
    """Make the page's data of what to do."""
    n_rest = max(0, len(record.attention) - MOST_SHOWN)
    n_late = n_rest if n_rest >= LEAST_LATE else 0
    items_of = {
        picture.file: picture.plan.items
        for picture in record.images
        if isinstance(picture, MeasuredPictureRecord) and picture.plan is not None
    }
    views = [
        (
            HEADINGS[entry.gravity],
            _entry(
                entry,
                record,
                links,
                previews,
                items_of.get(entry.file or "", []),
                is_late=bool(n_late) and place >= MOST_SHOWN,
            ),
        )
        for place, entry in enumerate(record.attention)
    ]
    groups = []
    for heading, group in groupby(views, key=lambda view: view[0]):
        entries = tuple(view for _, view in group)
        groups.append(GroupView(heading, entries, all(one.is_late for one in entries)))
    return AttentionView(tuple(groups), n_late)


def _entry(
    entry: AttentionRecord,
    record: AuditRecord,
    links: Mapping[str, Link],
    previews: Mapping[str, Preview],
    items: Sequence[ItemRecord],
    *,
    is_late: bool,
) -> EntryView:
    findings = findings_of(entry, record)
    others = files_of(entry, findings) if entry.file is None else _pair_partners(findings)
    if is_of_all(others, record):
        others = []  # the contact sheet shows them
    shown, rest = others[:MOST_LINKED], others[MOST_LINKED:]
    return EntryView(
        entry_title(entry, findings, record),
        None if entry.file is None else link_to(entry.file, links),
        None if entry.file is None else source_of(previews.get(entry.file)),
        "" if entry.file is None else entry.shot or "",
        tally(items),
        tuple(entry.to_do),
        tuple(entry_messages(findings)),
        linked_pictures(shown, links, previews),
        len(rest),
        findings[0].code is FindingCode.MISSING_SHOT,
        is_late,
    )


def _pair_partners(findings: Sequence[FindingRecord]) -> list[str]:
    """The pictures that the findings of one picture name beside it."""
    pairs = [finding.files[1:] for finding in findings if is_of_one_picture(finding)]
    return list(dict.fromkeys(file for files in pairs for file in files))
