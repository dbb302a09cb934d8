"""Where the edge lies along the normals of outlines, at the full resolution."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from auditor.measurements.rims.edges import Channels
from auditor.measurements.rims.ellipse_fit import outline

Floats = NDArray[np.float64]

PRIOR_WIDTH = 0.6  # of the reach: an edge near the outline is preferred to a stronger one far off
EDGE_LEVELS_PER_PX = 1.5  # the faintest edge counted, levels of 255 after smoothing
ALIGNED_TANGENT = np.tan(np.radians(22))  # change along the outline over change across it


@dataclass(frozen=True, slots=True)
class EdgeProfile:
    """The edge met by the normals at N points of one outline, or of many (..., N).

    Attributes
    ----------
    parameter : (..., N) float array
        Eccentric anomaly of the points, radians.
    normals : (..., N, 2) float array
        Unit vectors that point outwards.
    offset : (..., N) float array
        Place of the steepest change along the normal, in pixels.
    across : (..., N, 3) float array
        The change of each channel there, levels of 255 per pixel.
    is_edge : (..., N) bool array
        Whether it is an edge that runs along the outline.
    framed : (..., N) bool array
        Whether the point lies in the frame.
    edge_points : (..., N, 2) float array
        Positions of the steepest change, in pixels.
    """

    parameter: Floats
    normals: Floats
    offset: Floats
    across: Channels
    is_edge: NDArray[np.bool_]
    framed: NDArray[np.bool_]
    edge_points: Floats

    def of(self, index: int) -> EdgeProfile:
        """The profile of one outline of many."""
        return EdgeProfile(
            self.parameter[index],
            self.normals[index],
            self.offset[index],
            self.across[index],
            self.is_edge[index],
            self.framed[index],
            self.edge_points[index],
        )


def measure_profile(
    ellipses: Floats, channels: Channels, n_outline: int, reach: int
) -> EdgeProfile:
    """Find the edges within `reach` pixels of the outlines of ellipses (K, 5).

    Parameters
    ----------
    ellipses : (K, 5) float array
        In pixels of `channels`.
    channels : (H, W, 3) float array
        Smoothed lightness and colour, levels of 255.
    n_outline : int
        Points on each circumference.
    reach : int
    """
    parameter, points, normals = outline(ellipses, n_outline)
    steps = np.arange(-reach - 1, reach + 2)
    places = points[:, :, None, :] + steps[:, None] * normals[:, :, None, :]
    profile = sampled(channels, places)
    across = (profile[:, :, 2:] - profile[:, :, :-2]) * np.float32(0.5)
    strength = np.sqrt(np.einsum("knsc,knsc->kns", across, across))
    prior = np.exp(-0.5 * (steps[1:-1] / (PRIOR_WIDTH * reach)) ** 2).astype(np.float32)
    best = (strength * prior)[:, :, 1:-1].argmax(axis=2)[..., None] + 1
    before, here, after = (
        np.take_along_axis(strength, best + i, axis=2)[..., 0].astype(np.float64)
        for i in (-1, 0, 1)
    )
    bend = before + after - 2 * here
    shift = np.where(bend < 0, (before - after) / np.where(bend < 0, 2 * bend, 1.0), 0.0)
    offset = steps[1:-1][best[..., 0]] + np.clip(shift, -0.5, 0.5)
    at = points + offset[..., None] * normals
    tangents = np.stack([-normals[..., 1], normals[..., 0]], axis=-1)
    change = sampled(channels, at + tangents) - sampled(channels, at - tangents)
    along = np.sqrt(np.einsum("knc,knc->kn", change, change)) / 2
    outermost = points[:, :, None, :] + steps[[0, -1], None] * normals[:, :, None, :]
    limit = (channels.shape[1] - 1, channels.shape[0] - 1)
    framed = np.asarray(((outermost > 1) & (outermost < limit)).all(axis=(2, 3)))
    is_edge = framed & (here > EDGE_LEVELS_PER_PX) & (along < ALIGNED_TANGENT * here) & (bend < 0)
    chosen: Channels = np.take_along_axis(across, best[..., None], axis=2)[:, :, 0]
    return EdgeProfile(parameter, normals, offset, chosen, is_edge, framed, at)


def sampled(channels: Channels, places: Floats) -> Channels:
    """Values (..., 3) of (H, W, 3) channels at positions (..., 2) in pixels, bilinear."""
    height, width = channels.shape[:2]
    x = np.clip(places[..., 0] - 0.5, 0, width - 1.001).astype(np.float32)
    y = np.clip(places[..., 1] - 0.5, 0, height - 1.001).astype(np.float32)
    column, row = x.astype(np.intp), y.astype(np.intp)
    right, down = (
        (x - column).astype(np.float32)[..., None],
        (y - row).astype(np.float32)[..., None],
    )
    flat = channels.reshape(-1, 3)
    first = row * width + column
    upper = flat.take(first, axis=0)
    upper += right * (flat.take(first + 1, axis=0) - upper)
    lower = flat.take(first + width, axis=0)
    lower += right * (flat.take(first + (width + 1), axis=0) - lower)
    lower -= upper
    lower *= down
    upper += lower
    return np.asarray(upper, dtype=np.float32)
