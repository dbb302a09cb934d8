"""One measured quantity as a row of name, value and how sure it is."""

from __future__ import annotations

from dataclasses import dataclass

from auditor.record.picture_record import Estimated, MeasuredImageRecord
from auditor.wording.numbers import percent
from auditor.wording.values import Cell, amount


@dataclass(frozen=True, slots=True)
class MapBox:
    """A clipped place on the small map."""

    kind: str
    x: str
    y: str
    width: str
    height: str


@dataclass(frozen=True, slots=True)
class ClippingMap:
    """The frame with its clipped places."""

    width: str
    height: str
    boxes: tuple[MapBox, ...]
    description: str


@dataclass(frozen=True, slots=True)
class Detail:
    """One row: what, its value, how sure, or why it could not be told; a map for clipping."""

    title: str
    value: Cell
    certainty: str
    clipping: ClippingMap | None = None


def certainty(estimate: Estimated | None, unit: str) -> str:
    """Say how probable it is that the error is within the tolerance."""
    if estimate is None or estimate.confidence is None or estimate.tolerance is None:
        return ""
    return f"within {amount(estimate.tolerance, unit)}: {percent(estimate.confidence)} probable"


def reason_cell(image: MeasuredImageRecord, quantity: str) -> Cell:
    """Why a quantity could not be told."""
    reason = image.reasons.get(quantity)
    return Cell(reason.message if reason else "Could not be told.")
