"""What is said of one technique."""

from __future__ import annotations

from dataclasses import dataclass

from auditor.geometry import Point

FITS_FROM = 0.5  # of `TechniqueFit.fit`: the scale of each technique is laid so that this is it


@dataclass(frozen=True, slots=True)
class TechniqueFit:
    """How near a picture comes to a technique.

    Attributes
    ----------
    distance : float
        Of the subject from the nearest point of the technique, as a fraction of the frame's
        diagonal; of a triangle arrangement, how far its flattest corner lies too low.
    point : Point
        The nearest point of the technique.
    fit : float or None
        In [0, 1]: how much of what the technique asks of the picture itself is there; from
        `FITS_FROM` on it is there. None for techniques that divide the frame.
    outline : tuple of Point
        What the technique is made of: corners of the triangle or of the inner frame; else empty.
    confidence : float or None
        Probability that `fit` lies on the right side of `FITS_FROM`; None where there is no `fit`,
        and the subject's own confidence holds.
    """

    distance: float
    point: Point
    fit: float | None = None
    outline: tuple[Point, ...] = ()
    confidence: float | None = None

    @property
    def is_there(self) -> bool:
        """Whether the picture itself does what the technique asks, distances aside."""
        return self.fit is None or self.fit >= FITS_FROM
