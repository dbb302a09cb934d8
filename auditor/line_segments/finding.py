"""Find line segments.

Neighbouring pixels whose gradients point the same way form a line-support region
(`support_regions`). A line is fitted to each region by total least squares weighted with the
gradient. Bent regions are dropped: along a straight edge the gradient keeps its direction, along
the rim of a dish it turns.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from auditor.line_segments.gradients import GRADIENT_SCALE, Gradients, gradients
from auditor.line_segments.reduction import ReducedPicture, reduce_picture
from auditor.line_segments.segments import Floats, LineSegments
from auditor.line_segments.support_regions import SupportRegions, support_regions

# Longest side; a table edge is hundreds of pixels long and a weave is gone. It is a third of the
# side at which pictures are measured, so that means of 3 by 3 pixels are enough.
ANALYSIS_SIDE_PX = 341
MIN_LENGTH_PX = 14.0  # the direction of a shorter segment is uncertain by more than 2 degrees
MAX_SPREAD_PX = 2.2  # across the line; a step blurred by 1.5 px has 1.8, a soft shadow more
MAX_TURN_DEG = 9.0  # of the gradient, from end to end; an arc that fills a sector turns by 22.5


def find_line_segments(pixels: NDArray[np.uint8], side_px: int = ANALYSIS_SIDE_PX) -> LineSegments:
    """Find the straight edges in a picture.

    Parameters
    ----------
    pixels : (H, W, 3) uint8 array
        sRGB.
    side_px : int
        Longest side of the reduced picture; a smaller one finds edges that are out of focus.

    Returns
    -------
    LineSegments
        In no particular order; empty for a picture without edges.
    """
    reduced = reduce_picture(pixels, side_px)
    slopes = gradients(reduced.pixels)
    return _fitted(_region_pixels(support_regions(slopes), slopes, reduced), reduced)


@dataclass(frozen=True)
class _RegionPixels:
    """The pixels of all regions in one list, each with its region's index and its gradient."""

    index: NDArray[np.intp]
    n_regions: int
    x: Floats
    y: Floats
    gradient_x: Floats
    gradient_y: Floats
    weight: Floats

    @cached_property
    def weights(self) -> Floats:
        """Weight of each region."""
        return self._total(self.weight)

    def mean(self, values: Floats) -> Floats:
        """Mean over each region, weighted with the gradient."""
        return self._total(self.weight * values) / self.weights

    def _total(self, values: Floats) -> Floats:
        return np.bincount(self.index, values, minlength=self.n_regions).astype(np.float64)


def _region_pixels(
    regions: SupportRegions, slopes: Gradients, reduced: ReducedPicture
) -> _RegionPixels:
    rows, columns = np.divmod(regions.places, slopes.across.shape[1])
    gradient_x = slopes.across.ravel()[regions.places] / GRADIENT_SCALE
    gradient_y = slopes.down.ravel()[regions.places] / GRADIENT_SCALE
    return _RegionPixels(
        regions.index,
        regions.n_regions,
        columns + 0.5 + reduced.left,
        rows + 0.5 + reduced.top,
        gradient_x,
        gradient_y,
        np.sqrt(gradient_x**2 + gradient_y**2),
    )


def _fitted(pixels: _RegionPixels, reduced: ReducedPicture) -> LineSegments:
    """Fit a line to each region and keep the long, thin and straight ones."""
    centre_x, centre_y = pixels.mean(pixels.x), pixels.mean(pixels.y)
    x, y = pixels.x - centre_x[pixels.index], pixels.y - centre_y[pixels.index]
    xx, xy, yy = pixels.mean(x * x), pixels.mean(x * y), pixels.mean(y * y)
    angle = 0.5 * np.arctan2(2 * xy, xx - yy)
    direction = np.stack([np.cos(angle), np.sin(angle)], axis=1)
    spread = np.sqrt(np.maximum((xx + yy) / 2 - np.hypot((xx - yy) / 2, xy), 0))
    along = x * direction[pixels.index, 0] + y * direction[pixels.index, 1]
    low, high = _extremes(along, pixels)
    length = high - low
    turn = _turn_per_px(along, direction, pixels) * length
    kept = (
        (length >= MIN_LENGTH_PX)
        & (spread <= MAX_SPREAD_PX)
        & (np.abs(turn) <= np.radians(MAX_TURN_DEG))
    )
    middle = ((low + high) / 2)[:, np.newaxis]
    centre = np.stack([centre_x, centre_y], axis=1) + middle * direction
    contrast = np.minimum(pixels.weights / np.maximum(length, 1), 1)
    return LineSegments(
        reduced.width,
        reduced.height,
        centre[kept],
        direction[kept],
        length[kept],
        contrast[kept],
    )


def _extremes(along: Floats, pixels: _RegionPixels) -> tuple[Floats, Floats]:
    low, high = np.full(pixels.n_regions, np.inf), np.full(pixels.n_regions, -np.inf)
    np.minimum.at(low, pixels.index, along)
    np.maximum.at(high, pixels.index, along)
    return low, high


def _turn_per_px(along: Floats, direction: Floats, pixels: _RegionPixels) -> Floats:
    """Regress the slant of the gradient on the position along the segment, radians per px.

    `along` has the weighted mean 0 in each region.
    """
    own = direction[pixels.index]
    forward = pixels.gradient_x * own[:, 0] + pixels.gradient_y * own[:, 1]
    across = pixels.gradient_y * own[:, 0] - pixels.gradient_x * own[:, 1]
    # Within a sector the tangent of the slant equals the slant to 5 %. A region whose gradients run
    # along it is no edge and gets a huge slant.
    slant = forward / np.where(across == 0, np.finfo(np.float64).tiny, across)
    return pixels.mean(along * slant) / np.maximum(pixels.mean(along**2), 1e-12)
