"""Edges of a colour picture: points of steepest change, with direction, to a part of a pixel.

The gradient is the joint one of three channels (Di Zenzo, "A note on the gradient of a
multi-image", 1986), so that a rim may show by lightness on one side and by colour on the other.
Points are kept where it peaks across the edge, as by Canny (PAMI 1986).
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.ndimage import label

Floats = NDArray[np.float64]
Channels = NDArray[np.float32]
Indices = NDArray[np.intp]

# Rec. 601 luma and two opponent differences of the encoded values. Colour differences are halved
# since JPEG stores them at half the resolution and they carry more of its noise.
CHANNELS_FROM_SRGB = np.array(
    [[0.299, 0.587, 0.114], [0.5, -0.5, 0.0], [0.25, 0.25, -0.5]], dtype=np.float32
)
FAINT_LEVELS_PER_PX = 1.6  # a white plate on a white cloth still differs by 5 of 255 levels
CLEAR_LEVELS_PER_PX = 3.2  # twice that: what a chain must reach somewhere to count
TEXTURE_MULTIPLE = 1.5  # a clear edge also stands out from the picture's own median gradient
STEPS = np.array(((0, 1), (1, 1), (1, 0), (1, -1)))  # (row, column) across edges, by eighths
TINY = float(np.finfo(np.float32).tiny)


@dataclass(frozen=True, slots=True)
class Edges:
    """Edge points of one picture.

    Attributes
    ----------
    points : (N, 2) float array
        Positions x, y in pixels.
    normal_rad : (N,) float array
        Direction of the gradient, modulo pi, radians from +x towards +y.
    cosine, sine : (N,) float arrays
        Of that direction.
    rows, columns : (N,) int arrays
        The pixel of each point.
    shape : tuple of int
        Height and width of the picture in pixels.
    """

    points: Floats
    normal_rad: Floats
    cosine: Floats
    sine: Floats
    rows: NDArray[np.intp]
    columns: NDArray[np.intp]
    shape: tuple[int, int]

    def within(self, part: NDArray[np.bool_]) -> Edges:
        """The edge points in a part (H, W) of the picture."""
        kept = part[self.rows, self.columns]
        return Edges(
            self.points[kept],
            self.normal_rad[kept],
            self.cosine[kept],
            self.sine[kept],
            self.rows[kept],
            self.columns[kept],
            self.shape,
        )


def opponent_channels(pixels: NDArray[np.uint8]) -> Channels:
    """Lightness, red-green and yellow-blue as (3, H, W) float in levels of 255."""
    return np.ascontiguousarray(
        np.moveaxis(pixels.astype(np.float32) @ CHANNELS_FROM_SRGB.T, -1, 0)
    )


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
    """Find the edge points of (3, H, W) smoothed channels."""
    strength, half_difference, product = _joint_gradient(channels)
    clear = max(CLEAR_LEVELS_PER_PX, TEXTURE_MULTIPLE * float(np.median(strength[::2, ::2])))
    faint = clear * FAINT_LEVELS_PER_PX / CLEAR_LEVELS_PER_PX
    considered = strength > faint
    considered[[0, -1]] = False
    considered[:, [0, -1]] = False
    rows, columns = np.nonzero(considered)
    normal = 0.5 * np.arctan2(2 * product[rows, columns], 2 * half_difference[rows, columns])
    steps = STEPS[np.round(normal / (np.pi / 4)).astype(np.intp) % 4]
    here = strength[rows, columns]
    after = strength[rows + steps[:, 0], columns + steps[:, 1]]
    before = strength[rows - steps[:, 0], columns - steps[:, 1]]
    kept = np.nonzero((here >= before) & (here > after))[0]
    kept = kept[_reaches(rows[kept], columns[kept], here[kept] > clear, strength.shape)]
    rows, columns, normal, steps = rows[kept], columns[kept], normal[kept], steps[kept]
    bend = before[kept] + after[kept] - 2 * here[kept]
    shift = np.clip((before[kept] - after[kept]) / np.minimum(2 * bend, -TINY), -0.5, 0.5)
    points = np.stack(
        [columns + 0.5 + shift * steps[:, 1], rows + 0.5 + shift * steps[:, 0]], axis=-1
    )
    return Edges(
        points.astype(np.float64),
        normal.astype(np.float64),
        np.cos(normal).astype(np.float64),
        np.sin(normal).astype(np.float64),
        rows,
        columns,
        (strength.shape[0], strength.shape[1]),
    )


def _joint_gradient(channels: Channels) -> tuple[Channels, Channels, Channels]:
    """Size of the joint gradient, and twice its direction as a vector: (xx - yy) / 2 and xy."""
    dy = np.zeros_like(channels)
    dx = np.zeros_like(channels)
    np.subtract(channels[:, 2:], channels[:, :-2], out=dy[:, 1:-1])
    np.subtract(channels[:, :, 2:], channels[:, :, :-2], out=dx[:, :, 1:-1])
    xx, yy, xy = (np.einsum("cij,cij->ij", p, q) / 4 for p, q in ((dx, dx), (dy, dy), (dx, dy)))
    half = (xx - yy) / 2
    return np.sqrt((xx + yy) / 2 + np.sqrt(half * half + xy * xy)), half, xy


def _reaches(
    rows: Indices, columns: Indices, is_clear: NDArray[np.bool_], shape: tuple[int, ...]
) -> NDArray[np.bool_]:
    """Which points hang together with a clear one."""
    mask = np.zeros(shape, dtype=np.bool_)
    mask[rows, columns] = True
    labels = label(mask)[0][rows, columns]
    return np.asarray(np.bincount(labels, is_clear)[labels] > 0)
