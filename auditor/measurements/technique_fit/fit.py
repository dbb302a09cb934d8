"""The result for one technique."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from auditor.geometry import Point
from auditor.vocabulary.techniques import CENTRED, GOLDEN_TRIANGLES, TECHNIQUES

FITS_FROM = 0.5  # of `TechniqueFit.fit`: each technique's scale is chosen to put the limit here
# Fraction of the diagonal: the tolerance of a planned technique, so that what meets a plan is near.
NEAR_DISTANCE = 0.05
# Share of the frame: as much as lies near to the four points of a technique, 0.063 of a square and
# 0.079 of a 2:1 frame (geometry). A line must be as unlikely as they are.
MOST_CHANCE_OF_NEAR = 0.08
# Mean error of the reported centroid, as a fraction of the diagonal, on 100 test photographs
# (MODEL.md of the subject finder; 0.016 from the middles of boxes drawn by hand).
CENTROID_ERROR = 0.017


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
    chance : float or None
        Share of the frame, in [0, 1], that lies as near to the technique's points or lines as the
        subject does, or within the error of the subject's centroid: small if the nearness is
        unlikely by chance. None for a triangle arrangement and an inner frame, which are no places.
    """

    distance: float
    point: Point
    fit: float | None = None
    outline: tuple[Point, ...] = ()
    confidence: float | None = None
    chance: float | None = None

    @property
    def is_there(self) -> bool:
        """True if the picture itself has what the technique requires, whatever the distance."""
        return self.fit is None or self.fit >= FITS_FROM

    @property
    def is_near(self) -> bool:
        """True if the subject is near to a point or line, nearer than most places in the frame."""
        return (
            self.is_there
            and self.distance <= NEAR_DISTANCE
            and self.chance is not None
            and self.chance <= MOST_CHANCE_OF_NEAR
        )


def near_techniques(fits: Mapping[str, TechniqueFit]) -> list[str]:
    """Techniques to which the subject is near, the one to name first.

    The least likely by chance comes first. Of techniques whose distances differ by less than the
    error of the centroid, it is the earlier one of `TECHNIQUES`, which is also the better known. A
    subject near the centre is only centred, and not near the golden triangles: in a nearly square
    frame their points lie about the centre.
    """
    left = {name: fit for name, fit in fits.items() if fit.is_near}
    if CENTRED in left:
        left.pop(GOLDEN_TRIANGLES, None)
    ordered: list[str] = []
    while left:
        first = min(left.values(), key=lambda fit: fit.chance or 0.0)
        alike = [n for n, fit in left.items() if fit.distance <= first.distance + CENTROID_ERROR]
        ordered.append(min(alike, key=TECHNIQUES.index))
        del left[ordered[-1]]
    return ordered
