"""The value of a leading-lines measurement."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from auditor.geometry import Point

Kind = Literal["lines", "arc", "S-curve"]


@dataclass(frozen=True, slots=True)
class LeadingLines:
    """Lines or a curve that lead to the subject.

    Attributes
    ----------
    kind : str
        ``"lines"`` (straight edges), ``"arc"`` or ``"S-curve"`` (of supporting elements).
    leads_to : Point
        Lines: where they meet, or where a single one passes nearest to the subject's centroid.
        Arc around the subject: its centre. Row that ends at the subject: its last thing. The
        quantity's tolerance is a distance of this point, as a fraction of the diagonal.
    distance : float
        From `leads_to` to the subject's centroid, as a fraction of the diagonal.
    strength : float
        In [0, 1]: share of all lines' weight, or how evenly the things lie on their curve.
    paths : tuple of tuple of Point
        Each line or curve, from its far end to its near end.
    """

    kind: Kind
    leads_to: Point
    distance: float
    strength: float
    paths: tuple[tuple[Point, ...], ...]
