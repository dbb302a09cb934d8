"""The table of verdicts: one row for each planned item of each picture."""

from __future__ import annotations

from collections.abc import Iterator

from auditor.record.audit_record import AuditRecord
from auditor.record.picture_record import MeasuredPictureRecord
from auditor.record.plan_records import ItemRecord
from auditor.tables.column import Value, rounded
from auditor.tables.csv_text import csv_text
from auditor.wording.cells import Cell
from auditor.wording.numbers import UNIT_STYLES
from auditor.wording.plan_items import measured_cell, planned_cell
from auditor.wording.quantity_names import title

HEADINGS = (
    "Picture",
    "File",
    "Shot",
    "Item",
    "Planned",
    "Measured",
    "Off by",
    "Allowed",
    "Unit",
    "Verdict",
    "On purpose",
)


def verdict_table(record: AuditRecord) -> str:
    """The table as text, in the order of the pictures and of their plan's items."""
    return csv_text(HEADINGS, _rows(record))


def _rows(record: AuditRecord) -> Iterator[list[Value]]:
    for number, picture in enumerate(record.images, start=1):
        if isinstance(picture, MeasuredPictureRecord) and picture.plan is not None:
            for item in picture.plan.items:
                yield [number, picture.file, picture.plan.shot, *_item(item)]


def _item(item: ItemRecord) -> list[Value]:
    factor, decimals, _ = UNIT_STYLES.get(item.unit, (1, 2, ""))
    return [
        title(item.quantity, item.element),
        _text(planned_cell(item)),
        _text(measured_cell(item)),
        _number(item.difference, factor, decimals),
        _number(item.tolerance, factor, decimals),
        UNITS.get(item.unit, item.unit) or None,
        item.verdict,
        item.on_purpose or None,
    ]


# Each unit as the numbers beside it are scaled.
UNITS = {
    "fraction of frame": "% of the frame",
    "fraction of diagonal": "of the diagonal",
    "deg": "°",
    "deg of tilt": "°",
    "h": "° round the table",
}
MORE_DECIMALS = 1  # than the page: a table is computed with


def _number(value: float | None, factor: int, decimals: int) -> Value:
    return None if value is None else rounded(value * factor, decimals + MORE_DECIMALS)


def _text(cell: Cell) -> str:
    return "; ".join(part for part in (cell.text, *(patch.text for patch in cell.colours)) if part)
