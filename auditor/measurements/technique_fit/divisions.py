"""Techniques that divide the frame: distance of the subject from their nearest point or line.

They apply to any aspect ratio. Distances are measured in pixels and given as fractions of the
diagonal (`auditor.geometry`).
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass

from auditor.geometry import GOLDEN_RATIO, Point, distance_fraction
from auditor.golden_spiral import golden_spiral_eyes
from auditor.measurements.technique_fit.chance import (
    share_near_diagonals,
    share_near_points,
    share_near_upright_axis,
)
from auditor.measurements.technique_fit.fit import CENTROID_ERROR, TechniqueFit

CHANCE_DECIMALS = 6  # equal shares of two techniques then compare as equal

CENTRE = Point(0.5, 0.5)
CORNERS = {
    "top left": Point(0.0, 0.0),
    "top right": Point(1.0, 0.0),
    "bottom left": Point(0.0, 1.0),
    "bottom right": Point(1.0, 1.0),
}
FALLING = (CORNERS["top left"], CORNERS["bottom right"])
RISING = (CORNERS["bottom left"], CORNERS["top right"])
UPRIGHT_AXIS = (Point(0.5, 0.0), Point(0.5, 1.0))


def fit_techniques(centroid: Point, width: int, height: int) -> dict[str, TechniqueFit]:
    """Compare a subject's position with each technique of `DIVISIONS`.

    Parameters
    ----------
    centroid : Point
        Of the subject.
    width, height : int
        Of the frame; only their ratio matters.

    Returns
    -------
    dict of str to TechniqueFit
        Keyed and ordered as `DIVISIONS`; smaller distances fit better.
    """
    fits = {}
    for name, division in _DIVISIONS.items():
        points = division.points(centroid, width, height)
        distances = [(distance_fraction(centroid, p, width, height), p) for p in points]
        distance, point = min(distances, key=lambda pair: pair[0])
        chance = division.share(point, max(distance, CENTROID_ERROR), width, height)
        fits[name] = TechniqueFit(distance, point, chance=round(chance, CHANCE_DECIMALS))
    return fits


def golden_triangle_points(width: float, height: float) -> tuple[Point, Point, Point, Point]:
    """Feet of the perpendiculars from the corners to both diagonals.

    The frame is divided by a diagonal and by the perpendiculars to it from the two other
    corners (common practice). In a square all four points are the centre.
    """
    return (
        foot_of_perpendicular(CORNERS["bottom left"], FALLING, width, height),
        foot_of_perpendicular(CORNERS["top right"], FALLING, width, height),
        foot_of_perpendicular(CORNERS["top left"], RISING, width, height),
        foot_of_perpendicular(CORNERS["bottom right"], RISING, width, height),
    )


def foot_of_perpendicular(
    point: Point, line: tuple[Point, Point], width: float, height: float
) -> Point:
    """The point of a segment nearest to `point`, measured in pixels."""
    start, end = line
    dx, dy = (end.x - start.x) * width, (end.y - start.y) * height
    along = (point.x - start.x) * width * dx + (point.y - start.y) * height * dy
    share = min(max(along / (dx * dx + dy * dy), 0.0), 1.0)
    return Point(start.x + share * (end.x - start.x), start.y + share * (end.y - start.y))


def _crossings(share: float) -> tuple[Point, ...]:
    """The four points at `share` of both sides from either edge."""
    near, far = share, 1 - share
    return (Point(near, near), Point(far, near), Point(near, far), Point(far, far))


def _fixed(points: tuple[Point, ...]) -> Callable[[Point, float, float], Iterable[Point]]:
    return lambda _point, _width, _height: points


def _nearest_on(
    *lines: tuple[Point, Point],
) -> Callable[[Point, float, float], Iterable[Point]]:
    return lambda point, width, height: [
        foot_of_perpendicular(point, line, width, height) for line in lines
    ]


@dataclass(frozen=True, slots=True)
class _Division:
    """A technique that divides the frame.

    Attributes
    ----------
    points : callable
        Its points, or the points of its lines, nearest to a position in a frame.
    share : callable
        Share of a frame that lies within a distance of them (`chance.py`).
    """

    points: Callable[[Point, float, float], Iterable[Point]]
    share: Callable[[Point, float, float, float], float]


_DIVISIONS = {
    "rule of thirds": _Division(_fixed(_crossings(1 / 3)), share_near_points),
    "golden ratio": _Division(_fixed(_crossings(1 - 1 / GOLDEN_RATIO)), share_near_points),
    "centred": _Division(_fixed((CENTRE,)), share_near_points),
    "diagonals": _Division(_nearest_on(FALLING, RISING), share_near_diagonals),
    "golden triangles": _Division(
        lambda _point, width, height: golden_triangle_points(width, height), share_near_points
    ),
    "golden spiral": _Division(_fixed(golden_spiral_eyes()), share_near_points),
    "symmetry": _Division(_nearest_on(UPRIGHT_AXIS), share_near_upright_axis),
}

DIVISIONS = tuple(_DIVISIONS)
