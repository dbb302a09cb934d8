"""The model of how the pictures belong together in the record."""

from __future__ import annotations

from typing import Literal

from auditor.record.base import Record


class KindRecord(Record):
    """How the pictures belong together, and whether that was given; the message says how known."""

    kind: Literal["set", "portfolio", "single"]
    is_given: bool
    message: str = ""
