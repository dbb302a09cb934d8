"""Position of the edge along the normals of outlines."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from auditor.measurements.rims.channels import Channels, Smoothed, opponent, sampled
from auditor.measurements.rims.ellipse_fit import outline

Floats = NDArray[np.float64]

PRIOR_WIDTH = 0.6  # of the reach: prefers an edge near the outline to a stronger one far off
EDGE_LEVELS_PER_PX = 1.5  # the faintest edge counted, levels of 255 after smoothing
MIN_BEND = 1e-3  # levels of 255: a flatter peak has no defined position
ALIGNED_TANGENT = np.tan(np.radians(22))  # change along the outline over change across it


@dataclass(frozen=True, slots=True)
class EdgeProfile:
    """The edges along the normals at N points of each of K outlines.

    Attributes
    ----------
    parameter : (K, N) float array
        Eccentric anomaly of the points, radians.
    normals : (K, N, 2) float array
        Unit vectors that point outwards.
    offset : (K, N) float array
        Position of the steepest change along the normal, in pixels.
    across : (3, K, N) float array
        The change of each channel there, levels of 255 per pixel.
    is_edge : (K, N) bool array
        True if it is an edge that runs along the outline.
    framed : (K, N) bool array
        True if the point lies in the frame.
    edge_points : (K, N, 2) float array
        Positions of the steepest change, in pixels.
    """

    parameter: Floats
    normals: Floats
    offset: Floats
    across: Channels
    is_edge: NDArray[np.bool_]
    framed: NDArray[np.bool_]
    edge_points: Floats

    def of(self, chosen: NDArray[np.intp]) -> EdgeProfile:
        """The profiles of the chosen outlines."""
        return EdgeProfile(
            self.parameter[chosen],
            self.normals[chosen],
            self.offset[chosen],
            self.across[:, chosen],
            self.is_edge[chosen],
            self.framed[chosen],
            self.edge_points[chosen],
        )


def measure_profile(ellipses: Floats, picture: Smoothed, n_outline: int, reach: int) -> EdgeProfile:
    """Find the edges within `reach` pixels of the outlines of ellipses (K, 5).

    Parameters
    ----------
    ellipses : (K, 5) float array
        In pixels of the picture.
    picture : (3, H, W) uint16 array
        Smoothed values.
    n_outline : int
        Points on each circumference.
    reach : int
        Largest distance from the outline, in pixels.
    """
    parameter, points, normals = outline(ellipses, n_outline)
    steps = np.arange(-reach - 1, reach + 2)
    places = points[..., None] + steps * normals[..., None]  # (K, N, 2, S)
    profile = opponent(sampled(picture, places[:, :, 0], places[:, :, 1]))
    across = (profile[..., 2:] - profile[..., :-2]) * np.float32(0.5)
    strength = np.sqrt((across * across).sum(axis=0))
    prior = np.exp(-0.5 * (steps[1:-1] / (PRIOR_WIDTH * reach)) ** 2).astype(np.float32)
    best = (strength * prior)[:, :, 1:-1].argmax(axis=2)[..., None] + 1
    before, here, after = (
        np.take_along_axis(strength, best + i, axis=2)[..., 0] for i in (-1, 0, 1)
    )
    bend = np.minimum(before + after - 2 * here, -MIN_BEND)
    shift = np.clip((before - after) / (2 * bend), -0.5, 0.5)
    offset = steps[1:-1][best[..., 0]] + shift.astype(np.float64)
    at = points + offset[..., None] * normals
    x, y = at[..., 0], at[..., 1]
    tangent_x, tangent_y = -normals[..., 1], normals[..., 0]
    beside = sampled(
        picture,
        np.stack([x + tangent_x, x - tangent_x]),
        np.stack([y + tangent_y, y - tangent_y]),
    )
    change = opponent(beside[:, 0] - beside[:, 1])
    along = np.sqrt((change * change).sum(axis=0)) / 2
    outermost = places[..., [0, -1]]
    limit = np.array([[picture.shape[2] - 1], [picture.shape[1] - 1]])
    framed = np.asarray(((outermost > 1) & (outermost < limit)).all(axis=(2, 3)))
    is_edge = (
        framed & (here > EDGE_LEVELS_PER_PX) & (along < ALIGNED_TANGENT * here) & (bend < -MIN_BEND)
    )
    chosen: Channels = np.take_along_axis(across, best[None], axis=3)[..., 0]
    return EdgeProfile(parameter, normals, offset, chosen, is_edge, framed, at)
