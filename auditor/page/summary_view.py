"""The summary for a client as plain data: words come from `wording`."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from auditor.output.previews import Preview
from auditor.page.links import Source, source_of
from auditor.record.audit_record import AuditRecord
from auditor.record.picture_record import MeasuredPictureRecord
from auditor.safe_text import one_line
from auditor.wording.set_title import set_name
from auditor.wording.summary import (
    SUMMARY_TEXTS,
    checked_on,
    facts,
    more_shots,
    picture_name,
    plan_facts,
    shown_words,
    to_do,
)

# What one A4 page holds beside the sentences; our choice, no source.
MOST_PICTURES = 24
MOST_SHOTS = 16
FEW = 6  # pictures that are shown large


@dataclass(frozen=True, slots=True)
class SummaryPicture:
    """A picture: its number in the report, what it is called, and its address and size."""

    number: int
    name: str
    source: Source
    address: str


@dataclass(frozen=True, slots=True)
class SummaryShot:
    """A planned shot with the numbers of its pictures, empty if there is none."""

    name: str
    numbers: str


@dataclass(frozen=True, slots=True)
class SummaryView:
    """The summary."""

    texts: dict[str, str]
    title: str
    facts: tuple[str, ...]
    plan: tuple[str, ...]
    shots: tuple[SummaryShot, ...]
    more_shots: str
    to_do: tuple[str, ...]
    pictures: tuple[SummaryPicture, ...]
    shown: str
    checked: str


def summary_view(record: AuditRecord, previews: Mapping[str, Preview]) -> SummaryView:
    """Make the summary's data of a record."""
    numbers = {picture.file: n for n, picture in enumerate(record.images, start=1)}
    there = [
        picture
        for picture in record.images
        if isinstance(picture, MeasuredPictureRecord) and picture.file in previews
    ]
    chosen = chosen_files(there, record)
    is_large = not chosen[FEW:]
    pictures = []
    for picture in there:
        source = source_of(previews[picture.file])
        if picture.file in chosen and source is not None:
            address = source.large if is_large else source.small
            name = picture_name(picture)
            pictures.append(SummaryPicture(numbers[picture.file], name, source, address))
    return SummaryView(
        SUMMARY_TEXTS,
        set_name(record),
        facts(record),
        plan_facts(record),
        tuple(
            SummaryShot(
                one_line(shot.name),
                ", ".join(str(numbers[file]) for file in shot.files if file in numbers),
            )
            for shot in record.shots[:MOST_SHOTS]
        ),
        more_shots(record.shots[MOST_SHOTS:]),
        to_do(record),
        tuple(pictures),
        shown_words(len(pictures), len(there)),
        checked_on(record),
    )


def chosen_files(pictures: Sequence[MeasuredPictureRecord], record: AuditRecord) -> tuple[str, ...]:
    """Choose the pictures to show: all of a small set.

    Of a large one those that keep the plan best, one a shot in the order of the plan, and for the
    places that are left others, evenly over the set.
    """
    files = [picture.file for picture in pictures]
    if not files[MOST_PICTURES:]:
        return tuple(files)
    best: dict[str, str] = {}
    for picture in pictures:
        plan = picture.plan
        if plan is not None and (plan.rank is None or plan.rank.place == 1):
            best.setdefault(plan.shot, picture.file)
    first = [best[shot.name] for shot in record.shots if shot.name in best][:MOST_PICTURES]
    others = [file for file in files if file not in first]
    n_left = MOST_PICTURES - len(first)
    return (*first, *(others[place * len(others) // n_left] for place in range(n_left)))
