"""The plane of the page, from the perspective of the frames drawn on it.

A camera that is not held square to the page shows a rectangle with sides that run together. With
square pixels, the optical axis in the middle of the picture and a known focal length, the tilt of
the plane follows, and with it the ratio of the rectangle's sides (Zhang and He, "Whiteboard
scanning and image enhancement", Digital Signal Processing 17, 2007). Frames drawn by hand are no
rectangles: all are used together, and without clear evidence the camera is taken to look straight
down.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray
from scipy.optimize import least_squares

Floats = NDArray[np.float64]

# Focal length of the main camera of a phone in long sides of its picture: 26 mm on a frame of
# 36 mm (from memory; phones differ from 24 to 28 mm), and the spread of its logarithm, with crops.
USUAL_FOCAL, FOCAL_SPREAD = 0.73, 0.2
# How much somebody tilts the camera from looking straight down onto a page, in degrees, one
# standard deviation. Our choice, no source.
USUAL_TILT_DEG = 15.0
# How much the angles of a frame drawn by hand differ from those of a rectangle, in degrees, one
# standard deviation: a corner 2 mm off on a side of 80 mm is 1.4 degrees. Our choice.
DRAWN_ANGLE_DEG = 1.5
LARGEST_TILT_DEG = 55.0


def positions_on_plane(corners: list[Floats], width: int, height: int) -> list[Floats]:
    """Corners of frames on the page, in one unknown unit.

    Parameters
    ----------
    corners : list of (4, 2) float array
        x and y in px of the picture, each upper left first, clockwise.
    width, height : int
        Of the picture, in px.

    Returns
    -------
    list of (4, 2) float array
        Upright as the frames are, y downwards.
    """
    longest = max(width, height)
    rays = np.array([(c - np.array([width, height]) / 2) / longest for c in corners])
    answer = least_squares(_residuals, np.zeros(3), args=(rays,), loss="soft_l1")
    placed = _on_plane(answer.x, rays)
    along = _level_directions(placed).mean(axis=0)
    along = along / np.linalg.norm(along)
    normal = _normal(answer.x)
    normal = normal / np.linalg.norm(normal)
    down = np.cross(normal, along)
    return [np.stack([points @ along, points @ down], axis=1) for points in placed]


def ratio_of_sides(points: Floats) -> float:
    """Width over height of a frame, from the means of its opposite sides."""
    sides = np.hypot(*(np.roll(points, -1, axis=0) - points).T)
    return float((sides[0] + sides[2]) / (sides[1] + sides[3]))


def _normal(parameters: Floats) -> Floats:
    """Normal of the plane in the camera's coordinates, of any length."""
    return np.array([np.tan(parameters[0]), np.tan(parameters[1]), 1.0])


def _on_plane(parameters: Floats, rays: Floats) -> Floats:
    """(n, 4, 3): where the rays of the corners meet the plane."""
    focal = USUAL_FOCAL * np.exp(parameters[2])
    directions = np.concatenate([rays / focal, np.ones((*rays.shape[:2], 1))], axis=2)
    depth = np.maximum(directions @ _normal(parameters), 1e-3)
    return np.asarray(directions / depth[..., None])


def _residuals(parameters: Floats, rays: Floats) -> Floats:
    """Differences of angles, and of the camera from the usual one, in standard deviations."""
    bounded = np.clip(parameters, -np.radians(LARGEST_TILT_DEG), np.radians(LARGEST_TILT_DEG))
    placed = _on_plane(np.array([bounded[0], bounded[1], parameters[2]]), rays)
    sides = np.roll(placed, -1, axis=1) - placed
    sides = sides / np.linalg.norm(sides, axis=2, keepdims=True)
    top, right, bottom, left = sides[:, 0], sides[:, 1], -sides[:, 2], -sides[:, 3]
    spread = np.radians(DRAWN_ANGLE_DEG)
    normal = _normal(bounded) / np.linalg.norm(_normal(bounded))
    # Small angles by the sine: positive one way round the normal.
    opposite = [np.cross(a, b) @ normal for a, b in ((top, bottom), (right, left))]
    level, upright = (top + bottom) / 2, (right + left) / 2
    square = (level * upright).sum(axis=1)
    mean = level.mean(axis=0) / np.linalg.norm(level.mean(axis=0))
    aligned = np.cross(level, mean) @ normal
    return np.concatenate(
        [
            opposite[0] / (spread * np.sqrt(2)),
            opposite[1] / (spread * np.sqrt(2)),
            square / spread,
            aligned / spread,
            parameters[:2] / np.radians(USUAL_TILT_DEG),
            [parameters[2] / FOCAL_SPREAD],
        ]
    )


def _level_directions(placed: Floats) -> Floats:
    return np.asarray((placed[:, 1] - placed[:, 0]) + (placed[:, 2] - placed[:, 3]))
