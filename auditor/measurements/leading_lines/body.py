"""The body of the subject: its mask without handles and other thin parts, on a coarse grid."""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray
from scipy import ndimage

from auditor.geometry import Region

Floats = NDArray[np.float64]
Mask = NDArray[np.bool_]

GRID_SIDE_CELLS = 192  # longest side; a handle is 2 cells wide, and the body's outline is as exact
# Half the width, of the diagonal, of the thickest part that is removed: a wooden spoon's handle is
# thinner, a cup is wider. No source.
THIN_FRACTION = 0.03


@dataclass(frozen=True, eq=False)
class Body:
    """The subject's body, in px of the reduced picture of line segments.

    Attributes
    ----------
    inside : (h, w) bool array
        Covers the frame.
    cell_px : float
        Width and height of a cell.
    diagonal : float
        Of the frame, in px.
    """

    inside: Mask
    cell_px: float
    diagonal: float

    @staticmethod
    def of_mask(mask: Mask, width: float, height: float) -> Body | None:
        """The body in a (h, w) mask that covers a frame of `width` by `height` px.

        None for an empty mask.
        """
        step = max(1, math.ceil(max(mask.shape) / GRID_SIDE_CELLS))
        coarse = mask[step // 2 :: step, step // 2 :: step]
        # Beyond the edge of the frame the subject goes on.
        depth = ndimage.distance_transform_edt(np.pad(coarse, 1, mode="edge"))[1:-1, 1:-1]
        radius = THIN_FRACTION * math.hypot(*coarse.shape)
        deep = depth > radius
        if deep.any():
            coarse = ndimage.distance_transform_edt(~deep) <= radius
        if not coarse.any():
            return None
        cell_px = step * max(width, height) / max(mask.shape)
        return Body(coarse, cell_px, math.hypot(width, height))

    @staticmethod
    def of_region(region: Region, width: float, height: float) -> Body | None:
        """An ellipse in the box of a region, for a subject without a mask."""
        cell_px = max(width, height) / GRID_SIDE_CELLS
        rows, columns = (max(1, round(side / cell_px)) for side in (height, width))
        box, (middle_x, middle_y) = region.bbox, region.bbox.centre
        y = ((np.arange(rows) + 0.5) / rows - middle_y) / max(box.bottom - box.top, 1 / rows)
        x = ((np.arange(columns) + 0.5) / columns - middle_x) / max(
            box.right - box.left, 1 / columns
        )
        inside = y[:, np.newaxis] ** 2 + x**2 <= 1 / 4
        return Body(inside, cell_px, math.hypot(width, height)) if inside.any() else None

    @cached_property
    def _cells(self) -> Floats:
        """Positions (x, y) of the body's cells, (n, 2)."""
        rows, columns = np.nonzero(self.inside)
        cells = np.stack([columns, rows], axis=1) + 0.5
        return np.asarray(cells * self.cell_px, dtype=np.float64)

    @cached_property
    def centroid(self) -> Floats:
        """Mean position, (x, y)."""
        return np.asarray(self._cells.mean(axis=0), dtype=np.float64)

    @cached_property
    def _away(self) -> Floats:
        outside = ndimage.distance_transform_edt(~self.inside)
        away = outside - ndimage.distance_transform_edt(self.inside)
        return np.asarray(away * self.cell_px, dtype=np.float64)

    def gap_to(self, position: Floats) -> float:
        """Distance of a position from the body's outline, negative inside."""
        rows, columns = self.inside.shape
        column = min(columns - 1, max(0, int(position[0] / self.cell_px)))
        row = min(rows - 1, max(0, int(position[1] / self.cell_px)))
        return float(self._away[row, column])

    def half_width_across(self, direction: Floats) -> float:
        """Half of the body's extent across a direction."""
        return float(np.ptp(self._cells @ np.array([-direction[1], direction[0]]))) / 2
