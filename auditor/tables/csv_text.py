"""A table as text that spreadsheets open right: RFC 4180, UTF-8 with a byte-order mark."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterable, Sequence

from auditor.safe_text import for_csv
from auditor.tables.column import Value

# By it spreadsheets know the encoding, so that names open right.
BYTE_ORDER_MARK = "\ufeff"


def csv_text(headings: Sequence[str], rows: Iterable[Sequence[Value]]) -> str:
    """A table as text, its lines ended by CRLF as RFC 4180 asks.

    A cell is empty where there is no value. Text that a spreadsheet would run as a formula gets an
    apostrophe before it.
    """
    text = io.StringIO()
    text.write(BYTE_ORDER_MARK)
    writer = csv.writer(text, lineterminator="\r\n")
    writer.writerow(headings)
    for row in rows:
        writer.writerow([_cell(value) for value in row])
    return text.getvalue()


def _cell(value: Value) -> str:
    if value is None:
        return ""
    if isinstance(value, bool):
        return "yes" if value else "no"
    return for_csv(value) if isinstance(value, str) else repr(value)
