"""Technique fit: how far the subject lies from the nearest point or line of each technique."""

from __future__ import annotations

from dataclasses import dataclass

from auditor.geometry import Point


@dataclass(frozen=True, slots=True)
class TechniqueFit:
    """Distance of the subject from the nearest point of a technique.

    Attributes
    ----------
    distance : float
        Fraction of the frame's diagonal.
    point : Point
        The nearest point of the technique.
    """

    distance: float
    point: Point


def fit_techniques(centroid: Point, width: int, height: int) -> dict[str, TechniqueFit]:
    """Set a subject beside each technique of `TECHNIQUES` in a frame of any aspect ratio."""
    raise NotImplementedError


TECHNIQUES = (
    "rule of thirds",
    "golden ratio",
    "centred",
    "diagonals",
    "golden triangles",
    "symmetry",
)
