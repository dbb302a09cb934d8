"""Positions in the picture within its border, brought to those in the whole frame.

A border is part of the delivered picture, so positions are fractions of the frame with it, as the
picture is displayed. It is no part of what is measured: shares (of the subject, of empty space, of
a colour) stay shares of the picture within it.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import fields, is_dataclass, replace
from typing import TypeVar, cast

from auditor.geometry import Box, Ellipse, Point, Region
from auditor.quantity import Quantity

Value = TypeVar("Value")

LENGTHS = frozenset({"distance", "width_fraction"})
"""Fields that are lengths in fractions of the diagonal."""

MAPS: Mapping[str, str] = {"placed": "0", "light_map": "."}
"""Fields that are maps of the frame, rows of one character a cell, with that of an empty cell."""


def in_whole_frame(value: Value, inside: Box, width: int, height: int) -> Value:
    """Bring all positions in a measured value from a part of the frame to the whole.

    Every `Point`, `Box` and `Ellipse` within is a position, and fields named in `LENGTHS` are
    lengths. Angles do not change.

    Parameters
    ----------
    value : object
        A dataclass, or tuples and dictionaries of such.
    inside : Box
        The part, in fractions of the whole.
    width, height : int
        Of the whole, in px.
    """
    across, down = inside.right - inside.left, inside.bottom - inside.top
    shrink = math.hypot(across * width, down * height) / math.hypot(width, height)
    return cast("Value", _brought(value, inside, shrink))


def _brought(value: object, inside: Box, shrink: float) -> object:
    if isinstance(value, Point):
        return _place(value, inside)
    if isinstance(value, Box):
        upper_left = _place(Point(value.left, value.top), inside)
        return Box(*upper_left, *_place(Point(value.right, value.bottom), inside))
    if isinstance(value, Ellipse):
        major, minor = value.semi_axes
        axes = (major * shrink, minor * shrink)
        return Ellipse(_place(value.centre, inside), axes, value.angle_deg)
    if type(value) is tuple:
        return tuple(_brought(one, inside, shrink) for one in value)
    if isinstance(value, dict):
        return {name: _brought(one, inside, shrink) for name, one in value.items()}
    if isinstance(value, Quantity) and isinstance(value.value, Region) and value.spread is not None:
        # The spread of a place is a length as well; the tolerance is that of the whole frame.
        value = replace(value, spread=value.spread * shrink)
    if is_dataclass(value) and not isinstance(value, type):
        old = {field.name: getattr(value, field.name) for field in fields(value)}
        new = {name: _field(name, one, inside, shrink) for name, one in old.items()}
        changed = {name: one for name, one in new.items() if one is not old[name]}
        return replace(value, **changed) if changed else value
    return value


def _field(name: str, value: object, inside: Box, shrink: float) -> object:
    if name in LENGTHS and isinstance(value, float):
        return value * shrink
    if name in MAPS and isinstance(value, tuple):
        return _map(value, inside, MAPS[name])
    return _brought(value, inside, shrink)


def _map(rows: Sequence[str], inside: Box, empty: str) -> tuple[str, ...]:
    """A map of as many cells that covers the whole frame."""
    if not rows:
        return ()
    down = [_cell(n, len(rows), inside.top, inside.bottom) for n in range(len(rows))]
    across = [_cell(n, len(rows[0]), inside.left, inside.right) for n in range(len(rows[0]))]
    return tuple(
        "".join(empty if row is None or column is None else rows[row][column] for column in across)
        for row in down
    )


def _cell(number: int, n: int, start: float, end: float) -> int | None:
    """The cell within the part at the middle of a cell of the whole; None if it is outside."""
    at = ((number + 0.5) / n - start) / (end - start)
    return math.floor(at * n) if 0 <= at < 1 else None


def _place(point: Point, inside: Box) -> Point:
    return Point(
        inside.left + point.x * (inside.right - inside.left),
        inside.top + point.y * (inside.bottom - inside.top),
    )
