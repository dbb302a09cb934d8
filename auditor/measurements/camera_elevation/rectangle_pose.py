"""The plane in which a quadrilateral is a rectangle.

The images of opposite sides, parallel on the table, meet at a vanishing point. The rays to the two
vanishing points have the directions of the sides, and for a rectangle they are perpendicular
(Hartley and Zisserman, "Multiple View Geometry in Computer Vision", 2nd edition 2004, section 8.6).
If they are not, the quadrilateral is no rectangle, or its sides do not belong together.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from auditor.geometry import Point
from auditor.line_segments import LineSegments
from auditor.measurements.camera_elevation.quadrilaterals import (
    closed_outlines,
    edge_along,
    strongest_lines,
)

Floats = NDArray[np.float64]

CORNER_COSINE = 0.12  # corners of 83 to 97 degrees: in perspective, errors are a few degrees
LEANING_SINE = float(np.sin(np.radians(14)))  # largest roll of the plane of a table
OVERSHOOT_SINE = 0.15  # how far the camera may look past straight down
LOW_SINE = float(np.sin(np.radians(8)))  # lowest elevation; below it a rectangle is too flat
# Highest elevation. Nearer to overhead, a board looks like something that faces the camera: a
# picture on the wall, a window, the sides of two bottles.
HIGH_SINE = float(np.sin(np.radians(65)))
MAX_RECTANGLES = 5  # those with the most edge; further ones share most of their sides


@dataclass(frozen=True, slots=True)
class Rectangle:
    """A rectangle on the table.

    Attributes
    ----------
    corners : tuple of four Point
        In order around the outline; they may lie outside the frame.
    elevation_deg : float
        Camera elevation above its plane.
    edge_length : float
        Length of edge along its sides, in units of the frame's short side.
    """

    corners: tuple[Point, Point, Point, Point]
    elevation_deg: float
    edge_length: float


def find_rectangles(segments: LineSegments, focal_length: float) -> tuple[Rectangle, ...]:
    """Find rectangles that lie on a level table.

    Parameters
    ----------
    segments : LineSegments
        Without those along rims.
    focal_length : float
        In units of the frame's diagonal.

    Returns
    -------
    tuple of Rectangle
        At most `MAX_RECTANGLES`, those with the most edge first.
    """
    lines = strongest_lines(segments)
    found = closed_outlines(lines, segments.width, segments.height)
    frame = np.array([segments.width, segments.height], dtype=float)
    normals, cosine = rectangle_planes(
        found.corners / frame, segments.width, segments.height, focal_length
    )
    level = _lies_level(normals) & (np.abs(cosine) < CORNER_COSINE)
    found, normals = found.chosen(level), normals[level]
    length = edge_along(found, lines, segments)
    longest = np.argsort(-length, kind="stable")[:MAX_RECTANGLES].tolist()
    order = [k for k in longest if length[k] > 0]
    return tuple(
        Rectangle(
            _points(found.corners[k] / frame),
            float(np.degrees(np.arcsin(np.clip(-normals[k, 2], 0, 1)))),
            float(length[k]),
        )
        for k in order
    )


def rectangle_planes(
    corners: Floats, width: float, height: float, focal_length: float
) -> tuple[Floats, Floats]:
    """Compute the plane in which each quadrilateral is a parallelogram, and its corner angle there.

    Parameters
    ----------
    corners : (K, 4, 2) float array
        As fractions of the frame, in order around the outline.
    width, height : float
        Of the frame; only their ratio matters.
    focal_length : float
        In units of the frame's diagonal.

    Returns
    -------
    normals : (K, 3) float array
        Unit normals, towards the camera.
    cosine : (K,) float array
        Cosine of the corner angle; 0 for a rectangle.
    """
    diagonal = np.hypot(width, height)
    at = (corners - 0.5) * (np.array([width, height]) / diagonal)
    rays = np.concatenate([at, np.full((*at.shape[:2], 1), focal_length)], axis=-1)
    sides = np.cross(rays, np.roll(rays, -1, axis=1))
    along = _unit(np.cross(sides[:, 0], sides[:, 2]))
    across = _unit(np.cross(sides[:, 1], sides[:, 3]))
    normals = _unit(np.cross(along, across))
    facing = np.where((normals * rays.mean(axis=1)).sum(axis=1) > 0, -1.0, 1.0)
    return normals * facing[:, None], np.asarray((along * across).sum(axis=1))


def _lies_level(normals: Floats) -> NDArray[np.bool_]:
    """True where the plane is a table, not a wall, and the camera is roughly level."""
    return np.asarray(
        (np.abs(normals[:, 0]) < LEANING_SINE)
        & (normals[:, 1] < OVERSHOOT_SINE)
        & (-normals[:, 2] > LOW_SINE)
        & (-normals[:, 2] < HIGH_SINE)
    )


def _unit(vectors: Floats) -> Floats:
    size = np.linalg.norm(vectors, axis=-1, keepdims=True)
    return np.asarray(vectors / np.maximum(size, np.finfo(float).tiny))


def _points(corners: Floats) -> tuple[Point, Point, Point, Point]:
    a, b, c, d = (Point(float(x), float(y)) for x, y in corners)
    return a, b, c, d
