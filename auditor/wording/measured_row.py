"""One measured quantity as a row: its title, its value, and how sure that is."""

from __future__ import annotations

from dataclasses import dataclass

from auditor.record.base import (
    Estimated,
)
from auditor.record.colour_records import KnownTemperatureRecord
from auditor.record.picture_record import MeasuredPictureRecord
from auditor.wording.cells import Cell
from auditor.wording.numbers import amount, percent


@dataclass(frozen=True, slots=True)
class MeasuredRow:
    """One row; the value is the reason where there is none.

    `has_clipping_map` says that a map of the clipped places belongs beside it.
    """

    title: str
    value: Cell
    certainty: str
    has_clipping_map: bool = False


def certainty_words(estimate: Estimated | KnownTemperatureRecord | None, unit: str) -> str:
    """Say how probable it is that the error is within the tolerance."""
    if estimate is None or estimate.confidence is None or estimate.tolerance is None:
        return ""
    return f"within {amount(estimate.tolerance, unit)}: {percent(estimate.confidence)} probable"


def reason_cell(picture: MeasuredPictureRecord, quantity: str) -> Cell:
    """Why a quantity has no value."""
    reason = picture.reasons.get(quantity)
    return Cell(reason.message if reason else "Could not be measured.")
