"""The measurements as a table for spreadsheets: one row a picture (RFC 4180, UTF-8)."""

from __future__ import annotations

import csv
import io
from pathlib import Path

from auditor.record.audit_record import AuditRecord
from auditor.record.csv_columns import COLUMNS, Value
from auditor.record.picture_record import (
    ImageRecord,
    MeasuredImageRecord,
)
from auditor.wording.numbers import file_name

# A spreadsheet takes a text that starts like this for a formula (OWASP, CSV Injection).
FORMULA_STARTS = ("=", "+", "-", "@", "\t", "\r", "\n")
LEADING_COLUMNS = ("file", "status", "reason_code")


def write_table(record: AuditRecord, path: Path) -> None:
    """Write the table; a cell is empty where the record knows nothing.

    Text that a spreadsheet would run as a formula gets an apostrophe before it.

    Raises
    ------
    OSError
        Where the file cannot be written.
    """
    unfinished = path.with_name(path.name + ".part")
    unfinished.write_text(table_text(record), encoding="utf-8", newline="")
    unfinished.replace(path)


def table_text(record: AuditRecord) -> str:
    """The table as text, its lines ended by CRLF as RFC 4180 asks."""
    text = io.StringIO()
    writer = csv.writer(text, lineterminator="\r\n")
    writer.writerow([*LEADING_COLUMNS, *(name for name, _ in COLUMNS)])
    for image in record.images:
        writer.writerow([_cell(value) for value in _row(image)])
    return text.getvalue()


def _row(image: ImageRecord) -> list[Value]:
    if isinstance(image, MeasuredImageRecord):
        return [image.file, image.status, None, *(read(image) for _, read in COLUMNS)]
    return [image.file, image.status, image.reason.code, *(None for _ in COLUMNS)]


def _cell(value: Value) -> str:
    if value is None:
        return ""
    if isinstance(value, bool):
        return "true" if value else "false"
    return safe_text(value) if isinstance(value, str) else repr(value)


def safe_text(text: str) -> str:
    """Text that no spreadsheet takes for a formula: valid Unicode, on one line."""
    shown = file_name(text)
    return f"'{shown}" if text.startswith(FORMULA_STARTS) else shown
