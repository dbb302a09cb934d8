"""The measurements as a table for spreadsheets: one row a picture (RFC 4180, UTF-8)."""

from __future__ import annotations

import csv
import io

from auditor.record.audit_record import AuditRecord
from auditor.record.csv_columns import COLUMNS, Value
from auditor.record.picture_record import (
    MeasuredPictureRecord,
    PictureRecord,
)
from auditor.safe_text import one_line

# A spreadsheet takes a text that starts like this for a formula (OWASP, CSV Injection).
FORMULA_STARTS = ("=", "+", "-", "@", "\t", "\r", "\n")
LEADING_COLUMNS = ("file", "status", "reason_code")


def table_text(record: AuditRecord) -> str:
    """The table as text, its lines ended by CRLF as RFC 4180 asks.

    A cell is empty where the record has no value. Text that a spreadsheet would run as a formula
    gets an apostrophe before it.
    """
    text = io.StringIO()
    writer = csv.writer(text, lineterminator="\r\n")
    writer.writerow([*LEADING_COLUMNS, *(name for name, _ in COLUMNS)])
    for picture in record.images:
        writer.writerow([_cell(value) for value in _row(picture)])
    return text.getvalue()


def _row(picture: PictureRecord) -> list[Value]:
    if isinstance(picture, MeasuredPictureRecord):
        return [picture.file, picture.status, None, *(read(picture) for _, read in COLUMNS)]
    return [picture.file, picture.status, picture.reason.code, *(None for _ in COLUMNS)]


def _cell(value: Value) -> str:
    if value is None:
        return ""
    if isinstance(value, bool):
        return "true" if value else "false"
    return safe_text(value) if isinstance(value, str) else repr(value)


def safe_text(text: str) -> str:
    """Text that no spreadsheet takes for a formula: valid Unicode, on one line."""
    shown = one_line(text)
    return f"'{shown}" if text.startswith(FORMULA_STARTS) else shown
