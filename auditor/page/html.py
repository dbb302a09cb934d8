"""Write the page: one HTML file with its style inside, the pictures beside it."""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache
from pathlib import Path

from jinja2 import ChoiceLoader, Environment, PackageLoader, StrictUndefined

from auditor.output.previews import Preview
from auditor.page.page_view import page_view
from auditor.record.audit_record import AuditRecord

PAGE_FILE = "index.html"


def write_page(record: AuditRecord, previews: Mapping[str, Preview], directory: Path) -> None:
    """Write ``index.html`` into a directory that holds the previews in `PICTURES_FOLDER`.

    Raises
    ------
    OSError
        Where the file cannot be written.
    """
    path = directory / PAGE_FILE
    unfinished = path.with_name(path.name + ".part")
    unfinished.write_text(render_page(record, previews), encoding="utf-8", newline="\n")
    unfinished.replace(path)


def render_page(record: AuditRecord, previews: Mapping[str, Preview]) -> str:
    """Render the page."""
    return _environment().get_template("page.html").render(page=page_view(record, previews))


@cache
def _environment() -> Environment:
    return Environment(
        loader=ChoiceLoader(
            [PackageLoader("auditor.page"), PackageLoader("auditor.page", "static")]
        ),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
    )
