"""The page as plain data: words come from `wording`, shapes from `page.drawing`."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from markupsafe import Markup

from auditor.output.previews import Preview
from auditor.page.attention_view import AttentionView, attention_view
from auditor.page.controls_view import (
    ControlsView,
    controls_view,
    page_script,
    script_source,
)
from auditor.page.delivery_view import DeliveryView, delivery_view
from auditor.page.drawing.picture_marks import LAYERS, LayerChoice
from auditor.page.links import Link, link_pictures
from auditor.page.overview import Overview, overview_of
from auditor.page.picture_view import PictureView, picture_view, warnings_by_file
from auditor.page.portfolio_view import PortfolioView, portfolio_view
from auditor.page.rules_view import RuleView, rule_views
from auditor.page.set_view import NO_SET, SetView, set_view
from auditor.page.shots_view import ShotView, shot_views
from auditor.record.audit_record import AuditRecord
from auditor.record.picture_record import (
    MeasuredPictureRecord,
    RefusedPictureRecord,
)
from auditor.safe_text import one_line
from auditor.wording.manual import Entry, manual_of
from auditor.wording.page_texts import PAGE_TEXTS, made_by
from auditor.wording.texts import capital

LONG_PAGE = 40  # pictures from which on only those in sight are drawn; our choice, no source


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
    attention: AttentionView
    is_long: bool
    is_single_file: bool
    controls: ControlsView | None
    script: Markup
    script_source: str
    layers: tuple[LayerChoice, ...]
    pictures: tuple[PictureView, ...]
    refused: tuple[RefusedView, ...]
    shots: tuple[ShotView, ...]
    plan_remarks: tuple[str, ...]
    rules: tuple[RuleView, ...]
    set: SetView
    delivery: DeliveryView | None
    has_set: bool
    has_plan: bool
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
    warnings = warnings_by_file(record.findings)
    return PageView(
        texts=PAGE_TEXTS,
        overview=overview_of(record, links, previews),
        attention=attention_view(record, links, previews),
        is_single_file="single_file" in record.forms,
        is_long=bool(record.images[LONG_PAGE - 1 :]),
        controls=controls_view(record, links),
        script=page_script(),
        script_source=script_source(),
        layers=LAYERS,
        pictures=tuple(
            picture_view(
                picture,
                links[picture.file],
                previews.get(picture.file),
                warnings.get(picture.file, ()),
            )
            for picture in record.images
            if isinstance(picture, MeasuredPictureRecord)
        ),
        refused=tuple(
            RefusedView(links[picture.file], picture.reason.message)
            for picture in record.images
            if isinstance(picture, RefusedPictureRecord)
        ),
        plan_remarks=tuple(capital(remark) for remark in record.plan_remarks),
        shots=shot_views(record, links, previews),
        rules=rule_views(record, links),
        set=set_view(record, links) if record.has_set else NO_SET,
        delivery=delivery_view(record, links),
        has_set=record.has_set or bool(record.set_rules),
        has_plan=record.plan is not None,
        portfolio=portfolio_view(record, links, previews),
        manual=manual_of(record),
        made_by=made_by(one_line(record.auditor_version), one_line(record.created)),
    )
