"""What is found for one quantity over a set."""

from __future__ import annotations

from dataclasses import dataclass

from auditor.colorimetry import Swatch


@dataclass(frozen=True, slots=True)
class ForeignColours:
    """The colours of one picture that no other picture of the set has.

    Attributes
    ----------
    weight : float
        Sum over these colours of share (capped, so that a large area counts no more than a dish)
        times CIEDE2000 beyond a shade of the nearest colour elsewhere.
    share : float
        Share of the frame in these colours.
    strongest : Swatch
        The colour with the largest weight.
    is_whole_picture : bool
        True if these colours cover so much that the whole picture differs, not one thing in it.
    """

    weight: float
    share: float
    strongest: Swatch
    is_whole_picture: bool


@dataclass(frozen=True, slots=True)
class Outlier:
    """A picture that differs from the rest of the set in one quantity.

    Attributes
    ----------
    file : str
    value : float
        In the unit of the quantity.
    deviation : float
        Value minus the centre of the set, in the same unit. For contrast and saturation, value
        minus the value that the picture would have without the change.
    ratio : float or None
        For contrast and saturation: how many times as much the picture has as it would have
        without the change. None for other quantities.
    foreign : ForeignColours or None
        For the palette only.
    """

    file: str
    value: float
    deviation: float
    ratio: float | None = None
    foreign: ForeignColours | None = None


@dataclass(frozen=True, slots=True)
class SeriesQuantity:
    """One quantity over the set.

    Attributes
    ----------
    quantity, unit : str
    values : tuple of (str, float)
        File and value of each picture with a trusted value. For a quantity with several readings,
        these are values of the reading with the least spread, shifted to the median of the first.
    centre, spread : float or None
        Median and scaled median absolute deviation, or their equivalents on the dial for clock
        positions; None for fewer than three values. Of a set with several clusters of colour
        temperature, the centre is that of the largest cluster.
    outliers : tuple of Outlier
        In the order of the pictures.
    farthest : Outlier or None
        Where no picture is an outlier, the one that is noticeably farthest from the centre; for
        quantities of which it is known what sets usually spread by.
    is_several : bool
        True if the set was shot in several ways on purpose, so that its centre describes few of
        its pictures.
    """

    quantity: str
    unit: str
    values: tuple[tuple[str, float], ...]
    centre: float | None
    spread: float | None
    outliers: tuple[Outlier, ...]
    is_several: bool = False
    farthest: Outlier | None = None
