"""The result for one technique."""

from __future__ import annotations

from dataclasses import dataclass

from auditor.geometry import Point

FITS_FROM = 0.5  # of `TechniqueFit.fit`: each technique's scale is chosen to put the limit here


@dataclass(frozen=True, slots=True)
class TechniqueFit:
    """How well a picture fits a technique.

    Attributes
    ----------
    distance : float
        From the subject to the nearest point of the technique, as a fraction of the frame's
        diagonal; for a triangle arrangement, the height that the triangle lacks.
    point : Point
        The nearest point of the technique.
    fit : float or None
        In [0, 1]: how far the picture itself has what the technique requires; it has it from
        `FITS_FROM` on. None for techniques that divide the frame.
    outline : tuple of Point
        Corners of the triangle or of the inner frame; empty for other techniques.
    confidence : float or None
        Probability that `fit` lies on the right side of `FITS_FROM`. None if there is no `fit`;
        then the subject's confidence applies.
    """

    distance: float
    point: Point
    fit: float | None = None
    outline: tuple[Point, ...] = ()
    confidence: float | None = None

    @property
    def is_there(self) -> bool:
        """True if the picture itself has what the technique requires, whatever the distance."""
        return self.fit is None or self.fit >= FITS_FROM
