"""The planned values of a picture, gathered from its plan's items for drawing."""

from __future__ import annotations

from dataclasses import dataclass

from auditor.geometry import Box, Point
from auditor.record.picture_record import (
    MeasuredPictureRecord,
)
from auditor.record.plan_records import ItemRecord
from auditor.values import Angle, Clock, Place, Value, Words
from auditor.wording.accepted_texts import joined
from auditor.wording.techniques import planned_techniques


@dataclass(frozen=True, slots=True)
class PlannedPlace:
    """Where something was planned.

    Attributes
    ----------
    at : Point
        As fractions of the frame.
    boxes : tuple of Box
        The zone that a place in words means; empty for a place in numbers.
    tolerance : float or None
        Around it, as a fraction of the diagonal.
    """

    at: Point
    boxes: tuple[Box, ...]
    tolerance: float | None

    @classmethod
    def of(cls, item: ItemRecord) -> PlannedPlace | None:
        """The planned place of an item; None where it may be anywhere."""
        value = item.planned_value
        if not isinstance(value, Place):
            return None
        boxes = () if item.zone is None else tuple(Box(*box) for box in item.zone.boxes)
        return cls(value.at, boxes, item.tolerance)


@dataclass(frozen=True, slots=True)
class PlannedElement:
    """A supporting element, where it was planned and what was taken to be it.

    Attributes
    ----------
    name : str
    place : PlannedPlace or None
        None where it may be anywhere.
    taken : Box or None
        None if it was not found.
    is_element : bool
        Whether that is one of the picture's elements, which are drawn anyway.
    is_at_place : bool
        Whether that is where it was planned.
    """

    name: str
    place: PlannedPlace | None
    taken: Box | None
    is_element: bool
    is_at_place: bool

    @classmethod
    def of(cls, item: ItemRecord) -> PlannedElement:
        """A supporting element from its item."""
        return cls(
            item.element or "",
            PlannedPlace.of(item),
            None if item.match is None else Box(*item.match.bbox),
            item.match is not None and item.match.element is not None,
            item.verdict in {"met", "close"},
        )


@dataclass(frozen=True, slots=True)
class PlannedLight:
    """An arc of clock positions from which the light may come; a single one has both ends equal."""

    first: float
    last: float

    @property
    def middle(self) -> float:
        """The clock position that stands for it."""
        return (self.first + self.last) / 2


@dataclass(frozen=True, slots=True)
class Planned:
    """What the drawing needs to know of the plan; None where it says nothing.

    Attributes
    ----------
    subject : PlannedPlace or None
    supporting : tuple of PlannedElement
    techniques : tuple of str
        Any of them will do.
    light : tuple of PlannedLight
        Directions of which any will do.
    diagonal : str, float or None
        ``"rising"``, ``"falling"`` or degrees.
    """

    subject: PlannedPlace | None
    supporting: tuple[PlannedElement, ...]
    techniques: tuple[str, ...]
    light: tuple[PlannedLight, ...]
    diagonal: str | float | None

    @classmethod
    def of(cls, picture: MeasuredPictureRecord) -> Planned:
        """Gather what was planned for a picture."""
        items = picture.plan.items if picture.plan else []
        single = {item.quantity: item for item in items if item.element is None}
        planned = {name: item.planned_value for name, item in single.items()}
        return cls(
            subject=PlannedPlace.of(single["subject"]) if "subject" in single else None,
            supporting=tuple(PlannedElement.of(item) for item in items if item.element is not None),
            techniques=tuple(planned_techniques(single["technique"]))
            if "technique" in single
            else (),
            light=_light(single["light"]) if "light" in single else (),
            diagonal=_line(planned.get("diagonal")),
        )


def _word(value: Value | None) -> str | None:
    return value.text if isinstance(value, Words) else None


def _light(item: ItemRecord) -> tuple[PlannedLight, ...]:
    value = item.planned_value
    if not isinstance(value, Clock):
        return ()
    spans = [(value.hours, value.hours)] if item.accepts is None else joined(item.accepts.spans)
    return tuple(PlannedLight(first, last) for first, last in spans)


def _line(value: Value | None) -> str | float | None:
    return value.deg if isinstance(value, Angle) else _word(value)
