"""Circles on a table, drawn through a pinhole camera by following each pixel's ray to the table.

The code does not use that a circle is seen as an ellipse, so the truth is independent of the
measurement.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from scipy.ndimage import gaussian_filter

FULL_FRAME_DIAGONAL_MM = float(np.hypot(36, 24))


@dataclass(frozen=True)
class Shot:
    """A level camera that looks at the table from `elevation_deg`."""

    elevation_deg: float
    focal_length_35mm: float = 50.0
    width: int = 768
    height: int = 576
    roll_deg: float = 0.0

    @property
    def focal_px(self):
        diagonal = np.hypot(self.width, self.height)
        return self.focal_length_35mm / FULL_FRAME_DIAGONAL_MM * diagonal

    def table_positions(self, samples=2):
        """Table position of the ray of each (super-sampled) pixel, in camera heights."""
        n_columns, n_rows = self.width * samples, self.height * samples
        across = (np.arange(n_columns) + 0.5) / samples - self.width / 2
        down = (np.arange(n_rows) + 0.5) / samples - self.height / 2
        across, down = np.meshgrid(across / self.focal_px, down / self.focal_px)
        roll = np.radians(self.roll_deg)
        across, down = (
            across * np.cos(roll) - down * np.sin(roll),
            across * np.sin(roll) + down * np.cos(roll),
        )
        e = np.radians(self.elevation_deg)
        drop = np.sin(e) + down * np.cos(e)
        away = np.cos(e) - down * np.sin(e)
        with np.errstate(divide="ignore", invalid="ignore"):
            x, y = across / drop, away / drop
        below = drop > 1e-6
        return np.where(below, x, np.inf), np.where(below, y, np.inf)

    def on_table(self, at_x, at_y):
        """The table position seen at a fraction of the frame."""
        across = (at_x - 0.5) * self.width / self.focal_px
        down = (at_y - 0.5) * self.height / self.focal_px
        e = np.radians(self.elevation_deg)
        drop = np.sin(e) + down * np.cos(e)
        return across / drop, (np.cos(e) - down * np.sin(e)) / drop, 1 / drop


def draw_board(shot, width, depth, *, spin_deg=0.0, at=(0.5, 0.5), skew=0.0, seed=1):
    """An (H, W, 3) uint8 picture of a board, its sides in frame diagonals where it lies.

    `skew` shifts its far side sideways by this many depths, so that it is no rectangle.
    """
    x, y = shot.table_positions()
    centre_x, centre_y, distance = shot.on_table(*at)
    unit = np.hypot(shot.width, shot.height) / shot.focal_px * distance
    spin = np.radians(spin_deg)
    with np.errstate(invalid="ignore"):
        along = (x - centre_x) * np.cos(spin) + (y - centre_y) * np.sin(spin)
        across = (y - centre_y) * np.cos(spin) - (x - centre_x) * np.sin(spin)
        along = along - skew * across
        inside = (np.abs(along) < width * unit / 2) & (np.abs(across) < depth * unit / 2)
    return _finished(np.where(inside[..., None], (205.0, 203, 198), (120.0, 98, 80)), seed=seed)


def draw(shot, dishes, *, noise=2.0, blur_px=0.7, samples=2, hidden=None, seed=1):
    """An (H, W, 3) uint8 picture of dishes ``(x, y, size)``.

    `x`, `y` are fractions of the frame, `size` is the half width in fractions of the diagonal.
    `hidden` is a mask of fractions ``(left, top, right, bottom)`` painted over afterwards.
    """
    x, y = shot.table_positions(samples)
    rows, columns = y.shape
    table = np.array([120.0, 98, 80])
    picture = np.empty((rows, columns, 3))
    picture[:] = table * (1 + 0.1 * np.linspace(-1, 1, columns))[None, :, None]
    diagonal = np.hypot(shot.width, shot.height)
    for at_x, at_y, size in dishes:
        centre_x, centre_y, distance = shot.on_table(at_x, at_y)
        radius = size * diagonal / shot.focal_px * distance
        with np.errstate(invalid="ignore"):
            inside = (x - centre_x) ** 2 + (y - centre_y) ** 2 < radius**2
        picture[inside] = (205, 203, 198)
    if hidden is not None:
        left, top, right, bottom = hidden
        picture[
            int(top * rows) : int(bottom * rows), int(left * columns) : int(right * columns)
        ] = (90, 110, 70)
    return _finished(picture, noise, blur_px, samples, seed)


def _finished(picture, noise=2.0, blur_px=0.7, samples=2, seed=1):
    """Reduce a super-sampled picture to its size, with the blur and noise of a camera."""
    rows, columns = picture.shape[:2]
    picture = picture.reshape(rows // samples, samples, columns // samples, samples, 3)
    picture = picture.mean(axis=(1, 3))
    picture = gaussian_filter(picture, (blur_px, blur_px, 0))
    picture += np.random.default_rng(seed).normal(0, noise, picture.shape)
    return np.clip(np.rint(picture), 0, 255).astype(np.uint8)
