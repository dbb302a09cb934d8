"""Line-support regions: neighbouring pixels whose gradients point the same way.

After Burns, Hanson and Riseman (Extracting Straight Lines, PAMI 1986): directions are sorted into
sectors twice, the second time shifted by half a sector, so that no direction lies on a border both
times. Each pixel joins the larger of its two regions.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import cast

import numpy as np
from numpy.typing import NDArray
from skimage.measure import label

from auditor.line_segments.gradients import GRADIENT_SCALE, Gradients

Mask = NDArray[np.bool_]
Codes = NDArray[np.uint8]

MIN_GRADIENT = 0.012  # per px, of full scale; the middle of a step of 3 % of full scale
N_SECTORS = 16  # of the full turn; narrower than Burns' 45 degrees, so that arcs are split
MIN_REGION_PX = 24  # a region of fewer pixels cannot contain a segment of `MIN_LENGTH_PX`
MIN_OWN_SHARE = 0.5  # a region that loses more of its pixels to others is dropped (Burns)
MIN_LIKE_NEIGHBOURS = 4  # of 8 within a half sector; on an edge 2 along it, and those beside it
N_HALF_SECTORS = 2 * N_SECTORS
HALF_SECTOR_TANGENTS = np.tan(2 * np.pi / N_HALF_SECTORS * np.arange(1, N_SECTORS // 2)).astype(
    np.float32
)


@dataclass(frozen=True, slots=True)
class SupportRegions:
    """The pixels of all regions in one list.

    Attributes
    ----------
    places : (n,) intp array
        Flat index of each pixel, ascending.
    index : (n,) intp array
        Region of each pixel, from 0.
    n_regions : int
    """

    places: NDArray[np.intp]
    index: NDArray[np.intp]
    n_regions: int


def support_regions(gradients: Gradients) -> SupportRegions:
    """Group pixels into line-support regions."""
    codes, steep = _half_sectors(gradients)
    used = _along_edges(codes, steep)
    places = np.flatnonzero(used)
    plain = _sector_regions(codes, used, places)
    shifted = _sector_regions((codes + np.uint8(1)) % np.uint8(N_HALF_SECTORS), used, places)
    plain_sizes, shifted_sizes = np.bincount(plain), np.bincount(shifted)
    goes_plain = plain_sizes[plain] >= shifted_sizes[shifted]
    region = np.where(goes_plain, plain, shifted + plain_sizes.size)
    full_sizes = np.concatenate([plain_sizes, shifted_sizes])
    own_sizes = np.bincount(region, minlength=full_sizes.size)
    kept = (own_sizes >= MIN_REGION_PX) & (own_sizes >= MIN_OWN_SHARE * full_sizes)
    number = np.cumsum(kept) - 1
    in_kept = kept[region]
    return SupportRegions(places[in_kept], number[region[in_kept]], int(kept.sum()))


def _half_sectors(gradients: Gradients) -> tuple[Codes, Mask]:
    """Half-sector of each gradient, counted from right towards down, and mask of steep pixels."""
    right = np.abs(gradients.across).astype(np.float32)
    low = np.abs(gradients.down).astype(np.float32)
    steep = right * right + low * low >= np.float32((MIN_GRADIENT * GRADIENT_SCALE) ** 2)
    codes = np.zeros(right.shape, np.uint8)
    for tangent in HALF_SECTOR_TANGENTS:
        codes += low > right * tangent
    # So far within a quarter turn. Mirroring at an axis flips all bits of a half or a full turn.
    codes ^= (gradients.across < 0).astype(np.uint8) * np.uint8(N_HALF_SECTORS // 2 - 1)
    codes ^= (gradients.down < 0).astype(np.uint8) * np.uint8(N_HALF_SECTORS - 1)
    return codes, steep


def _along_edges(codes: Codes, steep: Mask) -> Mask:
    """Drop steep pixels whose neighbours point elsewhere: grain, crumbs, herbs."""
    step = np.uint8(256 // N_HALF_SECTORS)
    turns = codes * step  # the full turn fills 8 bits, so differences wrap around
    height, width = codes.shape
    n_alike = np.zeros_like(codes)
    for down, right in ((0, 1), (1, 0), (1, 1), (1, -1)):
        first = np.s_[: height - down, max(0, -right) : width - max(0, right)]
        second = np.s_[down:, max(0, right) : width - max(0, -right)]
        alike = (turns[first] - turns[second] + step <= 2 * step) & steep[first] & steep[second]
        n_alike[first] += alike
        n_alike[second] += alike
    return steep & (n_alike >= MIN_LIKE_NEIGHBOURS)


def _sector_regions(codes: Codes, used: Mask, places: NDArray[np.intp]) -> NDArray[np.intp]:
    """Region label of each used pixel, with sectors of two half-sectors each."""
    numbered = (codes // np.uint8(2) + np.uint8(1)) * used
    labels = cast("NDArray[np.intp]", label(numbered, background=0, connectivity=2))
    return labels.ravel()[places]
