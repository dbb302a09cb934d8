"""A column of a table: its heading, what it reads of a picture, and how it is rounded."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from auditor.record.base import Record
from auditor.record.picture_record import MeasuredPictureRecord

Value = str | float | int | bool | None
Read = Callable[[MeasuredPictureRecord], Value]

PER_CENT = 100
SHARE_DECIMALS, PLACE_DECIMALS = 1, 1  # of per cents: finer than anything is measured


@dataclass(frozen=True, slots=True)
class Column:
    """One column.

    Attributes
    ----------
    heading : str
        With the unit in brackets.
    read : callable
        The value that a picture has in it; None for an empty cell.
    decimals : int
        Of a number that is not whole.
    factor : int
        Brings the record's number to the heading's unit: 100 for a fraction shown in per cent.
    """

    heading: str
    read: Read
    decimals: int = 2
    factor: int = 1

    def value(self, picture: MeasuredPictureRecord) -> Value:
        """The value of a picture, rounded and in the unit of the heading."""
        found = self.read(picture)
        if isinstance(found, float):
            return rounded(found * self.factor, self.decimals)
        return found


def rounded(value: float, decimals: int) -> float | int:
    """Round; whole numbers have no decimal point, and nothing is a negative zero."""
    number = round(value, decimals) + 0.0
    return int(number) if decimals == 0 else number


def share(heading: str, read: Read) -> Column:
    """A column of shares or probabilities, which the record has as fractions."""
    return Column(f"{heading} (%)", read, SHARE_DECIMALS, PER_CENT)


def part(values: Sequence[float] | None, index: int) -> float | None:
    """One number of a position or rectangle that may be absent."""
    return None if values is None else values[index]


def field(of: Callable[[MeasuredPictureRecord], Record | None], name: str) -> Read:
    """Reader of one field of a part of the record that may be absent."""

    def read(picture: MeasuredPictureRecord) -> Value:
        found = of(picture)
        return None if found is None else getattr(found, name)

    return read
