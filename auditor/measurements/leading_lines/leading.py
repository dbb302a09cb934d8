"""What is said of lines and curves that lead to the subject."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from auditor.geometry import Point

Kind = Literal["lines", "arc", "S-curve"]


@dataclass(frozen=True, slots=True)
class LeadingLines:
    """What leads to the subject.

    Attributes
    ----------
    kind : str
        ``"lines"`` (straight edges), ``"arc"`` or ``"S-curve"`` (of supporting elements).
    leads_to : Point
        Where the lines meet, or the one line passes nearest to the subject's centroid; the middle
        of an arc around the subject; the last thing of a row that ends at it. The quantity's
        tolerance is a distance of this point, as a fraction of the diagonal.
    distance : float
        Of `leads_to` from the subject's centroid, as a fraction of the diagonal.
    strength : float
        In [0, 1]: share of all lines' weight, or how evenly the things lie on their curve.
    paths : tuple of tuple of Point
        Each line or curve from its far end to the near one.
    """

    kind: Kind
    leads_to: Point
    distance: float
    strength: float
    paths: tuple[tuple[Point, ...], ...]
