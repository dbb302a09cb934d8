"""Clipped highlights and shadows: how much of each channel, and where."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.typing import NDArray
from scipy import ndimage

from auditor.colorimetry import grid_shape
from auditor.geometry import Box, describe_mask

MAP_LONGEST_SIDE = 48
"""Cells of the map along the longest side: fine enough to show which thing is clipped."""

MIN_CELL_SHARE = 0.25
"""Share of a cell that must be clipped for the cell to be marked: single glints are no region."""

MAX_REGIONS = 6
"""Regions listed of each kind, largest first; common practice, no source."""


@dataclass(frozen=True, slots=True)
class ClippedRegion:
    """A region of the frame in which pixels are clipped.

    Attributes
    ----------
    kind : str
        ``"highlights"`` or ``"shadows"``.
    bbox : Box
    share : float
        Share of the frame covered by its marked cells.
    """

    kind: Literal["highlights", "shadows"]
    bbox: Box
    share: float


@dataclass(frozen=True, slots=True)
class Clipping:
    """Pixels at the end of their range.

    Attributes
    ----------
    highlights, shadows : tuple of float
        Share of the frame at 255 and at 0, for red, green and blue.
    regions : tuple of ClippedRegion
        Highlights first, each kind from large to small.
    """

    highlights: tuple[float, float, float]
    shadows: tuple[float, float, float]
    regions: tuple[ClippedRegion, ...]


def measure_clipping(planes: NDArray[np.uint8]) -> tuple[Clipping, float, float]:
    """Measure the clipping of a picture.

    Parameters
    ----------
    planes : (3, H, W) uint8 array
        sRGB.

    Returns
    -------
    clipping : Clipping
    highlights, shadows : float
        Share of the frame with any channel clipped.
    """
    blown, share_blown, blown_channels = _at(planes, 255)
    blocked, share_blocked, blocked_channels = _at(planes, 0)
    regions = (*_regions("highlights", blown), *_regions("shadows", blocked))
    return Clipping(blown_channels, blocked_channels, regions), share_blown, share_blocked


def _at(
    planes: NDArray[np.uint8], value: int
) -> tuple[NDArray[np.bool_], float, tuple[float, float, float]]:
    """Mask of the pixels with any channel at a value, their share, and that of each channel."""
    red, green, blue = (plane == value for plane in planes)
    shares = [float(np.count_nonzero(one)) / one.size for one in (red, green, blue)]
    clipped = red | green | blue if any(shares) else red
    share = float(np.count_nonzero(clipped)) / clipped.size
    return clipped, share, (shares[0], shares[1], shares[2])


def _regions(
    kind: Literal["highlights", "shadows"], clipped: NDArray[np.bool_]
) -> tuple[ClippedRegion, ...]:
    labels, n_places = ndimage.label(_cell_shares(clipped) >= MIN_CELL_SHARE)
    found = [describe_mask(labels == place) for place in _largest(labels, n_places)]
    return tuple(ClippedRegion(kind, r.bbox, r.area_fraction) for r in found if r is not None)


def _cell_shares(clipped: NDArray[np.bool_]) -> NDArray[np.float64]:
    """Clipped share of each cell of the map."""
    shape = grid_shape(clipped.shape[0], clipped.shape[1], MAP_LONGEST_SIDE)
    place = [np.arange(side) * n // side for side, n in zip(clipped.shape, shape, strict=True)]
    rows, columns = np.divmod(np.flatnonzero(clipped), clipped.shape[1])
    n_clipped = np.bincount(place[0][rows] * shape[1] + place[1][columns], minlength=np.prod(shape))
    n_pixels = np.outer(*(np.bincount(cells) for cells in place))
    shares: NDArray[np.float64] = n_clipped.reshape(shape) / n_pixels
    return shares


def _largest(labels: NDArray[np.intp], n_places: int) -> list[int]:
    sizes = np.bincount(labels.ravel(), minlength=n_places + 1)
    return sorted(range(1, n_places + 1), key=lambda place: -int(sizes[place]))[:MAX_REGIONS]
