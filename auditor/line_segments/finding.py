"""How line segments are found.

The method joins two known ideas. Neighbouring pixels whose gradients point the same way form a
line-support region (Burns, Hanson and Riseman, Extracting Straight Lines, PAMI 1986): directions
are sorted into sectors, twice with the sectors shifted by half, so that no direction lies on a
border of both, and each pixel goes with the larger of its two regions. A line is then fitted to
each region by total least squares weighted with the gradient. What bends is no line: along a
straight edge the gradient keeps its direction, along the rim of a dish it turns.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import cast

import numpy as np
from numpy.typing import NDArray
from PIL import Image
from scipy import ndimage
from skimage.measure import label

from auditor.line_segments.segments import Floats, LineSegments

Gradients = NDArray[np.float32]

ANALYSIS_SIDE_PX = 512  # longest side; a table edge is hundreds of pixels long, a weave is gone
SMOOTHING_PX = 1.0  # standard deviation; grain and JPEG blocks vanish, edges 3 px apart stay two
TRUNCATE = 3.0  # standard deviations; 0.3 % of the smoothing window lies beyond
MIN_GRADIENT = 0.012  # per px, of full scale; the middle of a step of 3 % of full scale
N_SECTORS = 16  # of the full turn; narrower than Burns' 45 degrees, so that an arc falls apart
MIN_REGION_PX = 24  # a region of fewer pixels cannot hold a segment of `MIN_LENGTH_PX`
MIN_LENGTH_PX = 14.0  # below, the direction of a segment is uncertain by more than 2 degrees
MIN_OWN_SHARE = 0.5  # a region that loses more of its pixels to others is no region (Burns)
MAX_SPREAD_PX = 2.2  # across the line; a step blurred by 1.5 px has 1.8, a soft shadow more
MAX_TURN_DEG = 9.0  # of the gradient, end to end; an arc that fills a sector turns by 22.5


def find_line_segments(pixels: NDArray[np.uint8], side_px: int = ANALYSIS_SIDE_PX) -> LineSegments:
    """Find the straight edges in a picture.

    Parameters
    ----------
    pixels : (H, W, 3) uint8 array
        sRGB.
    side_px : int
        Longest side of the reduced picture; a smaller one sees edges that are out of focus.

    Returns
    -------
    LineSegments
        In no order; empty for a picture without edges.
    """
    reduced = _reduced(pixels, side_px)
    height, width = reduced.shape[:2]
    across, down = _gradients(reduced)
    regions = _support_regions(across, down)
    return _fit(regions, across, down, width, height)


def _reduced(pixels: NDArray[np.uint8], side_px: int) -> NDArray[np.uint8]:
    height, width = pixels.shape[:2]
    scale = side_px / max(height, width)
    if scale >= 1:
        return pixels
    size = (max(1, round(width * scale)), max(1, round(height * scale)))
    return np.asarray(Image.fromarray(pixels).resize(size, Image.Resampling.BOX))


def _gradients(pixels: NDArray[np.uint8]) -> tuple[Gradients, Gradients]:
    """Gradient (x, y) per pixel, of the channel in which it is steepest."""
    height, width = pixels.shape[:2]
    across, down = np.zeros((height, width), np.float32), np.zeros((height, width), np.float32)
    steepness = np.zeros((height, width), np.float32)
    for channel in range(3):
        scaled = pixels[..., channel].astype(np.float32) / 255
        smooth = ndimage.gaussian_filter(scaled, SMOOTHING_PX, mode="nearest", truncate=TRUNCATE)
        own_across, own_down = np.zeros_like(smooth), np.zeros_like(smooth)
        own_across[:, 1:-1] = (smooth[:, 2:] - smooth[:, :-2]) / 2
        own_down[1:-1] = (smooth[2:] - smooth[:-2]) / 2
        own_steepness = own_across**2 + own_down**2
        steeper = own_steepness > steepness
        np.copyto(across, own_across, where=steeper)
        np.copyto(down, own_down, where=steeper)
        np.copyto(steepness, own_steepness, where=steeper)
    return across, down


def _support_regions(across: Gradients, down: Gradients) -> NDArray[np.intp]:
    """Label each pixel with its line-support region; 0 is none."""
    steep = np.hypot(across, down) >= MIN_GRADIENT
    turns = np.arctan2(down, across) * np.float32(N_SECTORS / (2 * np.pi))
    plain = _sector_regions(turns, steep)
    shifted = _sector_regions(turns + np.float32(0.5), steep)
    plain_sizes, shifted_sizes = np.bincount(plain.ravel()), np.bincount(shifted.ravel())
    goes_plain = plain_sizes[plain] >= shifted_sizes[shifted]
    regions = np.where(goes_plain, plain, shifted + plain_sizes.size - 1)
    regions[~steep] = 0
    full_sizes = np.concatenate([plain_sizes, shifted_sizes[1:]])
    own_sizes = np.bincount(regions.ravel(), minlength=full_sizes.size)
    kept = (own_sizes >= MIN_REGION_PX) & (own_sizes >= MIN_OWN_SHARE * full_sizes)
    kept[0] = False
    return np.where(kept[regions], regions, 0)


def _sector_regions(turns: Gradients, steep: NDArray[np.bool_]) -> NDArray[np.intp]:
    sectors = np.mod(np.floor(turns), N_SECTORS).astype(np.int32) + 1
    sectors[~steep] = 0
    return cast("NDArray[np.intp]", label(sectors, background=0, connectivity=2))


@dataclass(frozen=True, slots=True)
class _RegionPixels:
    """The pixels of all regions in one list, each with its region's number and its gradient."""

    index: NDArray[np.intp]
    n_regions: int
    x: Floats
    y: Floats
    gradient_x: Floats
    gradient_y: Floats
    weight: Floats

    def total(self, values: Floats) -> Floats:
        """Sum over each region."""
        return np.bincount(self.index, values, minlength=self.n_regions).astype(np.float64)


def _fit(
    regions: NDArray[np.intp], across: Gradients, down: Gradients, width: int, height: int
) -> LineSegments:
    """Fit a line to each region and keep what is long, thin and straight."""
    rows, columns = np.nonzero(regions)
    _, index = np.unique(regions[rows, columns], return_inverse=True)
    gradient_x = across[rows, columns].astype(np.float64)
    gradient_y = down[rows, columns].astype(np.float64)
    pixels = _RegionPixels(
        index.astype(np.intp),
        int(index.max()) + 1 if index.size else 0,
        columns.astype(np.float64) + 0.5,
        rows.astype(np.float64) + 0.5,
        gradient_x,
        gradient_y,
        np.hypot(gradient_x, gradient_y),
    )
    weight = pixels.total(pixels.weight)
    centre_x = pixels.total(pixels.weight * pixels.x) / weight
    centre_y = pixels.total(pixels.weight * pixels.y) / weight
    x, y = pixels.x - centre_x[pixels.index], pixels.y - centre_y[pixels.index]
    xx, xy, yy = (pixels.total(pixels.weight * v) / weight for v in (x * x, x * y, y * y))
    angle = 0.5 * np.arctan2(2 * xy, xx - yy)
    direction = np.stack([np.cos(angle), np.sin(angle)], axis=1)
    spread = np.sqrt(np.maximum((xx + yy) / 2 - np.hypot((xx - yy) / 2, xy), 0))
    along = x * direction[pixels.index, 0] + y * direction[pixels.index, 1]
    low, high = _extremes(along, pixels)
    length = high - low
    turn = _turn_per_px(along, angle, pixels) * length
    kept = (
        (length >= MIN_LENGTH_PX)
        & (spread <= MAX_SPREAD_PX)
        & (np.abs(turn) <= np.radians(MAX_TURN_DEG))
    )
    middle = ((low + high) / 2)[:, np.newaxis]
    centre = np.stack([centre_x, centre_y], axis=1) + middle * direction
    contrast = np.minimum(weight / np.maximum(length, 1), 1)
    return LineSegments(width, height, centre[kept], direction[kept], length[kept], contrast[kept])


def _extremes(along: Floats, pixels: _RegionPixels) -> tuple[Floats, Floats]:
    low, high = np.full(pixels.n_regions, np.inf), np.full(pixels.n_regions, -np.inf)
    np.minimum.at(low, pixels.index, along)
    np.maximum.at(high, pixels.index, along)
    return low, high


def _turn_per_px(along: Floats, angle: Floats, pixels: _RegionPixels) -> Floats:
    """Regress the direction of the gradient on the position along the segment, radians per px."""
    own = np.arctan2(pixels.gradient_y, pixels.gradient_x) - angle[pixels.index] - np.pi / 2
    deviation = np.mod(own + np.pi / 2, np.pi) - np.pi / 2
    middle = pixels.total(pixels.weight * along) / pixels.total(pixels.weight)
    place = along - middle[pixels.index]
    variance = pixels.total(pixels.weight * place**2)
    return pixels.total(pixels.weight * place * deviation) / np.maximum(variance, 1e-12)
