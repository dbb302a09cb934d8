"""One planned item beside its measurement, and the four words for how it did."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum


class Verdict(StrEnum):
    """How a picture did on one planned item."""

    MET = "met"
    CLOSE = "close"
    MISSED = "missed"
    UNDECIDED = "undecided"


@dataclass(frozen=True, slots=True)
class PlannedColour:
    """A planned colour and the measured one nearest to it.

    Attributes
    ----------
    planned, nearest : str
        ``#rrggbb``.
    found : bool
        Whether the nearest lies within the tolerance.
    name : str
        Of the nearest: the named colour of CSS that is nearest to it.
    difference : float
        CIEDE2000.
    share : float
        Of the frame, of the nearest.
    """

    planned: str
    found: bool
    nearest: str
    name: str
    difference: float
    share: float


PlainValue = float | str | list[float] | list[str] | None


@dataclass(frozen=True, slots=True)
class ComparedItem:
    """One planned item beside its measurement.

    Attributes
    ----------
    quantity : str
        ``subject``, ``subject_size``, ``supporting: NAME``, ``technique``, ``camera_elevation``,
        ``light``, ``diagonal``, ``negative_space``, ``negative_space_side``,
        ``colour_temperature``, ``palette``, ``background``, ``surface`` or ``aspect_ratio``.
    planned, measured : number, text, list or None
        In `unit`; positions are [x, y].
    difference : float or None
        Not negative where it is a distance, signed (measured minus planned) where it has a
        direction; None where nothing was measured.
    tolerance : float or None
        In `unit`; None where the item has none (a side, a direction).
    unit : str
        ``"fraction of diagonal"``, ``"fraction of frame"``, ``"deg"``, ``"h"``, ``"mired"``,
        ``"CIEDE2000"``, ``"ratio"`` or ``""``.
    verdict : Verdict
    colours : tuple of PlannedColour
        Each planned colour by itself; empty for items that are no palette.
    """

    quantity: str
    planned: PlainValue
    measured: PlainValue
    difference: float | None
    tolerance: float | None
    unit: str
    verdict: Verdict
    colours: tuple[PlannedColour, ...] = ()

    @classmethod
    def unmeasured(
        cls, quantity: str, planned: PlainValue, tolerance: float | None, unit: str
    ) -> ComparedItem:
        """Make the item of something that was planned and could not be measured."""
        return cls(quantity, planned, None, None, tolerance, unit, Verdict.UNDECIDED)
