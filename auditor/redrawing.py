"""The pages of a report, from its record and its previews alone.

An earlier report is drawn again without loading anything that measures or compares pictures.
"""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path

from auditor.output.pictures_inside import pictures_inside
from auditor.output.previews import PICTURES_FOLDER, Preview, find_previews
from auditor.output.report_folder import (
    PAGE_FILE,
    RECORD_FILE,
    SUMMARY_FILE,
    replace_pages,
    settle_report,
)
from auditor.page.html import render_page, render_summary
from auditor.record.audit_record import AuditRecord
from auditor.record.by_picture import with_attention
from auditor.record.json_file import read_record, using_record
from auditor.wording.messages import with_messages


def redraw(directory: Path) -> Path:
    """Draw the page of an earlier audit again, from its record and its previews alone.

    Parameters
    ----------
    directory : Path
        The report's folder.

    Returns
    -------
    Path
        The page.

    Raises
    ------
    UnusableArgumentError
        Where there is no record that this version can read, or the page cannot be written.
    """
    settle_report(directory)
    record = read_record(directory / RECORD_FILE)
    with using_record(directory / RECORD_FILE):
        if record.findings and not record.attention:  # an earlier version did not gather them
            record = with_messages(with_attention(record))
        previews = find_previews(directory, [picture.file for picture in record.images])
        pages = pages_of(record, previews, directory / PICTURES_FOLDER)
    replace_pages(directory, pages)
    return directory / PAGE_FILE


def pages_of(
    record: AuditRecord, previews: Mapping[str, Preview], pictures: Path
) -> dict[str, str]:
    """The pages that a record asks for, by the names of their files."""
    pages = {PAGE_FILE: render_page(record, previews)}
    if "summary" in record.forms:
        pages[SUMMARY_FILE] = render_summary(record, previews)
    if "single_file" in record.forms:
        pages = {name: pictures_inside(text, pictures) for name, text in pages.items()}
    return pages
