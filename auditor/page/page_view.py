"""The page as plain data: all rounding, words and geometry are done here and in what it calls."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from auditor.output.previews import Preview
from auditor.page.drawing.overlay import LAYERS, LayerChoice
from auditor.page.links import Link, link_pictures, link_to
from auditor.page.overview import Overview, overview_of
from auditor.page.picture_view import PictureView, picture_view
from auditor.page.set_view import SeriesView, series_view
from auditor.record.audit_record import AuditRecord
from auditor.record.picture_record import (
    MeasuredImageRecord,
    RefusedImageRecord,
)
from auditor.wording.manual import MANUAL, Entry
from auditor.wording.names import VERDICT_WORDS
from auditor.wording.numbers import file_name


@dataclass(frozen=True, slots=True)
class ShotView:
    """A planned shot and its pictures."""

    name: str
    links: tuple[Link, ...]
    missing: bool


@dataclass(frozen=True, slots=True)
class RefusedView:
    """A picture that could not be read, and why."""

    link: Link
    message: str


@dataclass(frozen=True, slots=True)
class DeliveryView:
    """One rule of a hand-over; the link is None for a rule of the whole set."""

    rule: str
    link: Link | None
    verdict: str
    word: str
    message: str


# From here on a browser draws only the pictures in sight; below it the whole page at once, which
# also serves those who save it as one tall image.
LARGE_SET = 40


@dataclass(frozen=True, slots=True)
class PageView:
    """The whole page."""

    overview: Overview
    is_large: bool
    layers: tuple[LayerChoice, ...]
    pictures: tuple[PictureView, ...]
    refused: tuple[RefusedView, ...]
    shots: tuple[ShotView, ...]
    series: SeriesView
    delivery: tuple[DeliveryView, ...]
    manual: tuple[Entry, ...]
    version: str
    made: str


def page_view(record: AuditRecord, previews: Mapping[str, Preview]) -> PageView:
    """Make the page's data of a record.

    Parameters
    ----------
    record : AuditRecord
    previews : mapping of str to Preview
        By the pictures' files; a picture without one is described but not shown.
    """
    links = link_pictures(record.images)
    return PageView(
        overview=overview_of(record, links, previews),
        is_large=len(record.images) >= LARGE_SET,
        layers=LAYERS,
        pictures=tuple(
            picture_view(
                image, links[image.file], previews.get(image.file), _warnings(record, image.file)
            )
            for image in record.images
            if isinstance(image, MeasuredImageRecord)
        ),
        refused=tuple(
            RefusedView(links[image.file], image.reason.message)
            for image in record.images
            if isinstance(image, RefusedImageRecord)
        ),
        shots=tuple(
            ShotView(shot.name, tuple(link_to(file, links) for file in shot.files), shot.missing)
            for shot in record.shots
        ),
        series=series_view(record, links),
        delivery=_delivery(record, links),
        manual=MANUAL,
        version=record.auditor_version,
        made=file_name(record.created),
    )


def _warnings(record: AuditRecord, file: str) -> list[str]:
    return [warning.message for warning in record.warnings if warning.file == file]


def _delivery(record: AuditRecord, links: Mapping[str, Link]) -> tuple[DeliveryView, ...]:
    return tuple(
        DeliveryView(
            rule.rule,
            None if rule.file is None else link_to(rule.file, links),
            rule.verdict,
            VERDICT_WORDS[rule.verdict],
            rule.message,
        )
        for rule in record.delivery or ()
    )
