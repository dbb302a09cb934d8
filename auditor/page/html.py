"""The page as HTML: one text with its style inside, the pictures beside it."""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache

from jinja2 import ChoiceLoader, Environment, PackageLoader, StrictUndefined
from markupsafe import Markup

from auditor.output.previews import Preview
from auditor.page.page_view import page_view
from auditor.page.summary_view import summary_view
from auditor.page.unit_notes import UnitNotes
from auditor.paused_collector import paused_collector
from auditor.record.audit_record import AuditRecord
from auditor.safe_text import for_page


def render_page(record: AuditRecord, previews: Mapping[str, Preview]) -> str:
    """Render the page from the record and the previews alone."""
    template = page_environment().get_template("page.html")
    with paused_collector():
        return template.render(page=page_view(record, previews), units=UnitNotes())


def render_summary(record: AuditRecord, previews: Mapping[str, Preview]) -> str:
    """Render the summary for a client: one page of paper, without scripts."""
    view = summary_view(record, previews)
    return page_environment().get_template("summary.html").render(page=view)


def safe_on_page(value: object) -> object:
    """What a template shows: foreign text made safe, our own markup as it is."""
    if type(value) is str and value.isprintable():  # nearly every value: already safe
        return value
    return for_page(value) if isinstance(value, str) and not isinstance(value, Markup) else value


@cache
def page_environment() -> Environment:
    """Where templates and styles of all pages are found."""
    return Environment(
        loader=ChoiceLoader(
            [PackageLoader("auditor.page"), PackageLoader("auditor.page", "static")]
        ),
        autoescape=True,
        auto_reload=False,  # no template changes while the program runs
        undefined=StrictUndefined,
        finalize=safe_on_page,
        trim_blocks=True,
        lstrip_blocks=True,
    )
