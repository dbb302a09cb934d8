"""The planned values of a picture, gathered from its plan's items for drawing."""

from __future__ import annotations

from dataclasses import dataclass

from auditor.record.picture_record import (
    ItemRecord,
    MeasuredImageRecord,
)
from auditor.wording.names import SUPPORTING_PREFIX
from auditor.wording.values import position

Place = tuple[float, float]


@dataclass(frozen=True, slots=True)
class PlannedElement:
    """A supporting element where it was planned."""

    name: str
    at: Place


@dataclass(frozen=True, slots=True)
class Planned:
    """What the drawing needs to know of the plan; None where it says nothing.

    Attributes
    ----------
    subject : tuple of float or None
        As fractions of the frame.
    subject_tolerance : float or None
        Fraction of the diagonal.
    supporting : tuple of PlannedElement
    technique : str or None
    light : float or None
        Clock position.
    diagonal : str, float or None
        ``"rising"``, ``"falling"`` or degrees.
    """

    subject: Place | None
    subject_tolerance: float | None
    supporting: tuple[PlannedElement, ...]
    technique: str | None
    light: float | None
    diagonal: str | float | None

    @classmethod
    def of(cls, image: MeasuredImageRecord) -> Planned:
        """Gather what was planned for a picture."""
        items = {item.quantity: item for item in image.plan.items} if image.plan else {}
        subject = items.get("subject")
        technique = _planned(items, "technique")
        light = _planned(items, "light")
        diagonal = _planned(items, "diagonal")
        return cls(
            subject=_place(subject),
            subject_tolerance=subject.tolerance if subject else None,
            supporting=tuple(
                PlannedElement(quantity.removeprefix(SUPPORTING_PREFIX), at)
                for quantity, item in items.items()
                if quantity.startswith(SUPPORTING_PREFIX) and (at := _place(item)) is not None
            ),
            technique=technique if isinstance(technique, str) else None,
            light=light if isinstance(light, float) else None,
            diagonal=diagonal if isinstance(diagonal, (str, float)) else None,
        )


def _planned(items: dict[str, ItemRecord], quantity: str) -> object:
    item = items.get(quantity)
    return item.planned if item else None


def _place(item: ItemRecord | None) -> Place | None:
    return None if item is None else position(item.planned)
