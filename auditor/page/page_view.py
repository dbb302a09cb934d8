"""The page as plain data: words come from `wording`, shapes from `page.drawing`."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from auditor.output.previews import Preview
from auditor.page.drawing.picture_marks import LAYERS, LayerChoice
from auditor.page.links import Link, link_pictures, link_to
from auditor.page.overview import Overview, overview_of
from auditor.page.picture_view import PictureView, picture_view
from auditor.page.portfolio_view import PortfolioView, portfolio_view
from auditor.page.rules_view import RuleView, rule_views
from auditor.page.set_view import NO_SET, SetView, set_view
from auditor.record.audit_record import AuditRecord
from auditor.record.picture_record import (
    MeasuredPictureRecord,
    RefusedPictureRecord,
)
from auditor.safe_text import one_line
from auditor.wording.manual import MANUAL, Entry
from auditor.wording.matches import shot_note
from auditor.wording.page_texts import PAGE_TEXTS, made_by
from auditor.wording.texts import capital


@dataclass(frozen=True, slots=True)
class ShotPicture:
    """A picture of a shot; the note says if it was assumed, and if it keeps the plan best."""

    link: Link
    note: str


@dataclass(frozen=True, slots=True)
class ShotView:
    """A planned shot and its pictures."""

    name: str
    pictures: tuple[ShotPicture, ...]
    missing: bool


@dataclass(frozen=True, slots=True)
class RefusedView:
    """A picture that could not be read, and why."""

    link: Link
    message: str


@dataclass(frozen=True, slots=True)
class PageView:
    """The whole page."""

    texts: dict[str, str]
    overview: Overview
    layers: tuple[LayerChoice, ...]
    pictures: tuple[PictureView, ...]
    refused: tuple[RefusedView, ...]
    shots: tuple[ShotView, ...]
    plan_remarks: tuple[str, ...]
    rules: tuple[RuleView, ...]
    is_set: bool
    set: SetView
    portfolio: PortfolioView | None
    manual: tuple[Entry, ...]
    made_by: str


def page_view(record: AuditRecord, previews: Mapping[str, Preview]) -> PageView:
    """Make the page's data of a record.

    Parameters
    ----------
    record : AuditRecord
    previews : mapping of str to Preview
        By the pictures' files; a picture without one is described but not shown.
    """
    links = link_pictures(record.images)
    is_set = record.kind is None or record.kind.kind == "set"
    notes = {
        picture.file: shot_note(picture.plan)
        for picture in record.images
        if isinstance(picture, MeasuredPictureRecord) and picture.plan is not None
    }
    return PageView(
        texts=PAGE_TEXTS,
        overview=overview_of(record, links, previews),
        layers=LAYERS,
        pictures=tuple(
            picture_view(picture, links[picture.file], previews.get(picture.file), record.findings)
            for picture in record.images
            if isinstance(picture, MeasuredPictureRecord)
        ),
        refused=tuple(
            RefusedView(links[picture.file], picture.reason.message)
            for picture in record.images
            if isinstance(picture, RefusedPictureRecord)
        ),
        plan_remarks=tuple(capital(remark) for remark in record.plan_remarks),
        shots=tuple(
            ShotView(
                shot.name,
                tuple(
                    ShotPicture(link_to(file, links), notes.get(file, "")) for file in shot.files
                ),
                shot.missing,
            )
            for shot in record.shots
        ),
        rules=rule_views(record, links),
        is_set=is_set,
        set=set_view(record, links) if is_set else NO_SET,
        portfolio=portfolio_view(record, links, previews),
        manual=MANUAL,
        made_by=made_by(one_line(record.auditor_version), one_line(record.created)),
    )
