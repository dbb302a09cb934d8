"""The table of measurements: one row a picture."""

from __future__ import annotations

from auditor.record.audit_record import AuditRecord
from auditor.record.picture_record import MeasuredPictureRecord, PictureRecord
from auditor.tables.column import Value
from auditor.tables.csv_text import csv_text
from auditor.tables.measurement_columns import COLUMNS

LEADING_HEADINGS = ("Picture", "File", "Measured", "Why not")


def measurement_table(record: AuditRecord) -> str:
    """The table as text; pictures are numbered as on the page."""
    headings = [*LEADING_HEADINGS, *(column.heading for column in COLUMNS)]
    rows = (_row(number, picture) for number, picture in enumerate(record.images, start=1))
    return csv_text(headings, rows)


def _row(number: int, picture: PictureRecord) -> list[Value]:
    if isinstance(picture, MeasuredPictureRecord):
        return [number, picture.file, True, None, *(column.value(picture) for column in COLUMNS)]
    return [number, picture.file, False, picture.reason.message, *(None for _ in COLUMNS)]
