"""Edges of a colour picture: points of steepest change, with direction, to a part of a pixel.

The gradient is the joint one of three channels (Di Zenzo, "A note on the gradient of a
multi-image", 1986), so that a rim may show by lightness on one side and by colour on the other.
Points are kept where it peaks across the edge, as by Canny (PAMI 1986).
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from skimage.filters import apply_hysteresis_threshold

Floats = NDArray[np.float64]
Channels = NDArray[np.float32]

# Rec. 601 luma and two opponent differences of the encoded values. Colour differences are halved
# since JPEG stores them at half the resolution and they carry more of its noise.
CHANNELS_FROM_SRGB = np.array(
    [[0.299, 0.587, 0.114], [0.5, -0.5, 0.0], [0.25, 0.25, -0.5]], dtype=np.float32
)
FAINT_LEVELS_PER_PX = 1.6  # a white plate on a white cloth still differs by 5 of 255 levels
CLEAR_LEVELS_PER_PX = 3.2  # twice that: what a chain must reach somewhere to count
TEXTURE_MULTIPLE = 1.5  # a clear edge also stands out from the picture's own median gradient


@dataclass(frozen=True, slots=True)
class Edges:
    """Edge points of one picture.

    Attributes
    ----------
    points : (N, 2) float array
        Positions x, y in pixels.
    normal_rad : (N,) float array
        Direction of the gradient, modulo pi, radians from +x towards +y.
    rows, columns : (N,) int arrays
        The pixel of each point.
    shape : tuple of int
        Height and width of the picture in pixels.
    """

    points: Floats
    normal_rad: Floats
    rows: NDArray[np.intp]
    columns: NDArray[np.intp]
    shape: tuple[int, int]


def opponent_channels(pixels: NDArray[np.uint8]) -> Channels:
    """Lightness, red-green and yellow-blue as (3, H, W) float in levels of 255."""
    return np.ascontiguousarray(
        np.moveaxis(pixels.astype(np.float32) @ CHANNELS_FROM_SRGB.T, -1, 0)
    )


def reduced(channels: Channels, factor: int) -> Channels:
    """Means of blocks of `factor` by `factor` pixels; what does not fill a block is left out."""
    if factor == 1:
        return channels
    height, width = (side // factor * factor for side in channels.shape[1:])
    blocks = channels[:, :height, :width].reshape(
        3, height // factor, factor, width // factor, factor
    )
    return np.asarray(blocks.mean(axis=(2, 4)), dtype=np.float32)


def smoothed(channels: Channels) -> Channels:
    """Each channel blurred by the binomial 1 4 6 4 1: a Gaussian of one pixel, but quicker."""
    wide = np.pad(channels, ((0, 0), (2, 2), (2, 2)), mode="edge")
    for _ in range(2):
        wide = wide[:, 1:-1] * np.float32(0.5) + (wide[:, 2:] + wide[:, :-2]) * np.float32(0.25)
        wide = wide[:, :, 1:-1] * np.float32(0.5) + (wide[:, :, 2:] + wide[:, :, :-2]) * np.float32(
            0.25
        )
    return np.asarray(wide, dtype=np.float32)


def find_edges(channels: Channels) -> Edges:
    """Find the edge points of (3, H, W) channels."""
    strength, normal = _joint_gradient(smoothed(channels))
    is_peak, offset, step = _peaks_across(strength, normal)
    clear = max(CLEAR_LEVELS_PER_PX, TEXTURE_MULTIPLE * float(np.median(strength)))
    faint = clear * FAINT_LEVELS_PER_PX / CLEAR_LEVELS_PER_PX
    kept = apply_hysteresis_threshold(np.where(is_peak, strength, 0), faint, clear)
    rows, columns = np.nonzero(kept)
    shift = offset[rows, columns]
    row_step, column_step = step[:, rows, columns]
    points = np.stack([columns + 0.5 + shift * column_step, rows + 0.5 + shift * row_step], axis=-1)
    return Edges(
        points.astype(np.float64),
        normal[rows, columns].astype(np.float64),
        rows,
        columns,
        (strength.shape[0], strength.shape[1]),
    )


def _joint_gradient(channels: Channels) -> tuple[Channels, Channels]:
    """Size and direction (modulo pi) of the joint gradient."""
    dy = np.zeros_like(channels)
    dx = np.zeros_like(channels)
    dy[:, 1:-1] = (channels[:, 2:] - channels[:, :-2]) / 2
    dx[:, :, 1:-1] = (channels[:, :, 2:] - channels[:, :, :-2]) / 2
    xx, yy, xy = (dx * dx).sum(0), (dy * dy).sum(0), (dx * dy).sum(0)
    half = np.hypot((xx - yy) / 2, xy)
    strength = np.sqrt(np.maximum((xx + yy) / 2 + half, 0))
    return strength, 0.5 * np.arctan2(2 * xy, xx - yy)


def _peaks_across(
    strength: Channels, normal: Channels
) -> tuple[NDArray[np.bool_], Channels, NDArray[np.int8]]:
    """Where the gradient peaks across the edge, and how far off the pixel's centre.

    Returns the peaks, the offset in steps, and the step (row, column) that it is counted in.
    """
    sector = np.round(normal / (np.pi / 4)).astype(np.int8) % 4
    padded = np.pad(strength, 1, mode="edge")
    height, width = strength.shape
    before, after = np.zeros_like(strength), np.zeros_like(strength)
    step = np.zeros((2, height, width), dtype=np.int8)
    for index, (row, column) in enumerate(((0, 1), (1, 1), (1, 0), (1, -1))):
        here = sector == index
        after[here] = padded[1 + row : 1 + row + height, 1 + column : 1 + column + width][here]
        before[here] = padded[1 - row : 1 - row + height, 1 - column : 1 - column + width][here]
        step[0][here], step[1][here] = row, column
    is_peak = (strength >= before) & (strength > after)
    is_peak[[0, -1]] = False
    is_peak[:, [0, -1]] = False
    bend = before + after - 2 * strength
    offset = np.where(bend < 0, (before - after) / np.where(bend < 0, 2 * bend, 1), 0)
    return is_peak, np.clip(offset, -0.5, 0.5), step
