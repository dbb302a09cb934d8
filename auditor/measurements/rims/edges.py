"""Edges of a colour picture: points of steepest change, with direction, to sub-pixel accuracy.

The gradient is the joint one of three channels (Di Zenzo, "A note on the gradient of a
multi-image", 1986), so a rim may differ from its surroundings in lightness on one side and in
colour on the other. Points are kept where it peaks across the edge, as by Canny (PAMI 1986).
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.ndimage import label

from auditor.measurements.rims.channels import Channels

Floats = NDArray[np.float64]
Indices = NDArray[np.intp]

FAINT_LEVELS_PER_PX = 1.6  # a white plate on a white cloth still differs by 5 of 255 levels
CLEAR_LEVELS_PER_PX = 3.2  # twice that: a chain must reach it somewhere to count
TEXTURE_MULTIPLE = 1.5  # a clear edge also exceeds this multiple of the picture's median gradient
MAX_POINTS = 6000  # the steepest of a part: any further ones of a busy part are texture
MIN_CONNECTED_POINTS = 14  # fewer connected points form no arc
EIGHT_NEIGHBOURS = np.ones((3, 3))
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
    strength : (N,) float array
        Size of the gradient, levels of 255 per pixel.
    rows, columns : (N,) int arrays
        The pixel of each point.
    shape : tuple of int
        Height and width of the picture in pixels.
    """

    points: Floats
    normal_rad: Floats
    cosine: Floats
    sine: Floats
    strength: Channels
    rows: NDArray[np.intp]
    columns: NDArray[np.intp]
    shape: tuple[int, int]

    def within(self, part: NDArray[np.bool_]) -> Edges:
        """The steepest edge points in a part (H, W) of the picture, at most `MAX_POINTS`."""
        kept = np.nonzero(part[self.rows, self.columns])[0]
        if kept.size > MAX_POINTS:
            least = np.partition(self.strength[kept], -MAX_POINTS)[-MAX_POINTS]
            kept = kept[self.strength[kept] >= least]
        return Edges(
            self.points[kept],
            self.normal_rad[kept],
            self.cosine[kept],
            self.sine[kept],
            self.strength[kept],
            self.rows[kept],
            self.columns[kept],
            self.shape,
        )


def find_edges(channels: Channels) -> Edges:
    """Find the edge points of (3, H, W) smoothed channels."""
    strength, half_difference, product = _joint_gradient(channels)
    clear = max(CLEAR_LEVELS_PER_PX, TEXTURE_MULTIPLE * float(np.median(strength[::2, ::2])))
    faint = clear * FAINT_LEVELS_PER_PX / CLEAR_LEVELS_PER_PX
    places, direction = _peaks(strength, half_difference, product, faint)
    flat = strength.reshape(-1)
    kept = _connected_to_clear(places, flat[places] > clear, strength.shape)
    places, steps = places[kept], STEPS[direction[kept]]
    onward = steps[:, 0] * strength.shape[1] + steps[:, 1]
    here, after, before = flat[places], flat[places + onward], flat[places - onward]
    rows, columns = np.divmod(places, strength.shape[1])
    normal = 0.5 * np.arctan2(
        product.reshape(-1)[places], half_difference.reshape(-1)[places], dtype=np.float64
    )
    bend = before + after - 2 * here
    shift = np.clip((before - after) / np.minimum(2 * bend, -TINY), -0.5, 0.5)
    points = np.stack(
        [columns + 0.5 + shift * steps[:, 1], rows + 0.5 + shift * steps[:, 0]], axis=-1
    )
    return Edges(
        points.astype(np.float64),
        normal,
        np.cos(normal),
        np.sin(normal),
        here,
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


def _peaks(
    strength: Channels, half_difference: Channels, product: Channels, faint: float
) -> tuple[Indices, Indices]:
    """Flat indices where the gradient peaks across the edge, and the index of the step across."""
    considered = strength > faint
    considered[[0, -1]] = False
    considered[:, [0, -1]] = False
    places = np.nonzero(considered.reshape(-1))[0]
    half, mixed = half_difference.reshape(-1)[places], product.reshape(-1)[places]
    # Quadrants of twice the direction, offset by an eighth of a turn.
    across = np.where(np.abs(half) >= np.abs(mixed), 2 * (half < 0), 1 + 2 * (mixed < 0))
    step = (STEPS @ (strength.shape[1], 1))[across]
    flat = strength.reshape(-1)
    here = flat[places]
    kept = np.nonzero((here >= flat[places - step]) & (here > flat[places + step]))[0]
    return places[kept], across[kept]


def _connected_to_clear(
    places: Indices, is_clear: NDArray[np.bool_], shape: tuple[int, ...]
) -> NDArray[np.bool_]:
    """Mask of the points that are connected to a clear point and to enough others."""
    mask = np.zeros(shape, dtype=np.bool_)
    mask.reshape(-1)[places] = True
    labels = label(mask, EIGHT_NEIGHBOURS)[0].reshape(-1)[places]
    enough = np.bincount(labels) >= MIN_CONNECTED_POINTS
    return np.asarray((enough & (np.bincount(labels, is_clear) > 0))[labels])
