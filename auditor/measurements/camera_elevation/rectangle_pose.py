"""The plane in which a quadrilateral is a rectangle.

Opposite sides that are parallel on the table meet in the frame at a vanishing point; the rays to
two vanishing points lie in the plane's directions, and in a rectangle they stand at right angles
(Hartley and Zisserman, "Multiple View Geometry in Computer Vision", 2nd edition 2004, section 8.6).
Where they do not, the quadrilateral is no rectangle or its sides do not belong together.
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

SQUARE_COSINE = 0.12  # a corner of 83 to 97 degrees: sides are off by a few degrees in perspective
LEANING_SINE = float(np.sin(np.radians(14)))  # beyond, the plane is no table under a level camera
UPSIDE_DOWN_SINE = 0.15  # the table may lean this far past overhead
LOW_SINE = float(np.sin(np.radians(8)))  # from lower, a table is too thin to show a rectangle
# Nearer to overhead a board cannot be told from what faces the camera: a picture on the wall, a
# window, the sides of two bottles.
HIGH_SINE = float(np.sin(np.radians(65)))
N_HEARD = 5  # those with the most edge; further ones share most of their sides


@dataclass(frozen=True, slots=True)
class Rectangle:
    """A rectangle on the table.

    Attributes
    ----------
    corners : tuple of four Point
        In order around; they may lie outside the frame.
    elevation_deg : float
        Of the camera above its plane.
    edge_length : float
        Edge found around it, in short sides of the frame.
    """

    corners: tuple[Point, Point, Point, Point]
    elevation_deg: float
    edge_length: float


def find_rectangles(segments: LineSegments, focal_length: float) -> tuple[Rectangle, ...]:
    """Rectangles that lie on a level table, those with most edge around them first.

    Parameters
    ----------
    segments : LineSegments
        Without those along rims.
    focal_length : float
        In units of the frame's diagonal.
    """
    lines = strongest_lines(segments)
    found = closed_outlines(lines, segments.width, segments.height)
    frame = np.array([segments.width, segments.height], dtype=float)
    normals, cosine = rectangle_planes(
        found.corners / frame, segments.width, segments.height, focal_length
    )
    level = _lies_level(normals) & (np.abs(cosine) < SQUARE_COSINE)
    found, normals = found.chosen(level), normals[level]
    length = edge_along(found, lines, segments)
    order = [k for k in np.argsort(-length, kind="stable")[:N_HEARD].tolist() if length[k] > 0]
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
    """Unit normals (K, 3) towards the camera, and cosine (K,) of the corner that sides make there.

    Parameters
    ----------
    corners : (K, 4, 2) float array
        As fractions of the frame, in order around.
    width, height : float
        Of the frame, in any unit in the right proportion.
    focal_length : float
        In units of the frame's diagonal.
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
    """Whether a plane is a table's and no wall's, seen by a camera that is held about level."""
    return np.asarray(
        (np.abs(normals[:, 0]) < LEANING_SINE)
        & (normals[:, 1] < UPSIDE_DOWN_SINE)
        & (-normals[:, 2] > LOW_SINE)
        & (-normals[:, 2] < HIGH_SINE)
    )


def _unit(vectors: Floats) -> Floats:
    size = np.linalg.norm(vectors, axis=-1, keepdims=True)
    return np.asarray(vectors / np.maximum(size, np.finfo(float).tiny))


def _points(corners: Floats) -> tuple[Point, Point, Point, Point]:
    a, b, c, d = (Point(float(x), float(y)) for x, y in corners)
    return a, b, c, d
