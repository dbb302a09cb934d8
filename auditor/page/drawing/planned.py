"""The planned values of a picture, gathered from its plan's items for drawing."""

from __future__ import annotations

from dataclasses import dataclass

from auditor.geometry import Point
from auditor.record.picture_record import (
    MeasuredPictureRecord,
)
from auditor.values import Angle, Clock, Place, Value, Words


@dataclass(frozen=True, slots=True)
class PlannedElement:
    """A supporting element where it was planned."""

    name: str
    at: Point


@dataclass(frozen=True, slots=True)
class Planned:
    """What the drawing needs to know of the plan; None where it says nothing.

    Attributes
    ----------
    subject : Point or None
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

    subject: Point | None
    subject_tolerance: float | None
    supporting: tuple[PlannedElement, ...]
    technique: str | None
    light: float | None
    diagonal: str | float | None

    @classmethod
    def of(cls, picture: MeasuredPictureRecord) -> Planned:
        """Gather what was planned for a picture."""
        items = picture.plan.items if picture.plan else []
        single = {item.quantity: item for item in items if item.element is None}
        planned = {name: item.planned_value for name, item in single.items()}
        return cls(
            subject=_place(planned.get("subject")),
            subject_tolerance=single["subject"].tolerance if "subject" in single else None,
            supporting=tuple(
                PlannedElement(item.element, at)
                for item in items
                if item.element is not None and (at := _place(item.planned_value)) is not None
            ),
            technique=_word(planned.get("technique")),
            light=_hours(planned.get("light")),
            diagonal=_line(planned.get("diagonal")),
        )


def _place(value: Value | None) -> Point | None:
    return value.at if isinstance(value, Place) else None


def _word(value: Value | None) -> str | None:
    return value.text if isinstance(value, Words) else None


def _hours(value: Value | None) -> float | None:
    return value.hours if isinstance(value, Clock) else None


def _line(value: Value | None) -> str | float | None:
    return value.deg if isinstance(value, Angle) else _word(value)
