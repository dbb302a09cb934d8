"""The parts of a mask, and the long axis of each thing in the frame."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy import ndimage

from auditor.geometry import Point, diagonal_px, moments_of

PART_SHARE = 0.2  # of the mask's area: a smaller part is a crumb or a reflection; no source


@dataclass(frozen=True, slots=True)
class MaskAxis:
    """The principal axis of a mask, from its second moments.

    Attributes
    ----------
    ends : tuple of Point
        Where the mask's outermost pixels along the axis lie on it, the left end first.
    angle_deg : float
        In (-90, 90], positive if rising to the right.
    length_fraction : float
        Distance between the ends, as a fraction of the frame's diagonal.
    elongation : float
        Ratio of the standard deviations along and across the axis, at least 1: length over width
        for a rectangle and for an ellipse.
    """

    ends: tuple[Point, Point]
    angle_deg: float
    length_fraction: float
    elongation: float

    @property
    def centre(self) -> Point:
        """Halfway between the ends."""
        (left_x, left_y), (right_x, right_y) = self.ends
        return Point((left_x + right_x) / 2, (left_y + right_y) / 2)


def large_parts(mask: NDArray[np.bool_]) -> list[NDArray[np.bool_]]:
    """Split a mask into its connected parts, largest first, without the small ones.

    Parameters
    ----------
    mask : (h, w) bool array

    Returns
    -------
    list of (h, w) bool arrays
        Empty for an empty mask.
    """
    labels, n_parts = ndimage.label(mask)
    if n_parts < 2:
        return [mask] * n_parts
    sizes = np.bincount(labels.ravel())
    sizes[0] = 0
    largest_first = np.argsort(-sizes, kind="stable")
    is_large = sizes[largest_first] >= PART_SHARE * sizes.sum()
    return [labels == part for part in largest_first[is_large]]


def axis_of(mask: NDArray[np.bool_]) -> MaskAxis:
    """Find the principal axis of a mask.

    Parameters
    ----------
    mask : (h, w) bool array
        With square pixels, covering the whole frame; not empty.
    """
    rows, columns = np.nonzero(mask)
    moments = moments_of(columns, rows)
    centre, direction = np.array(moments.middle) + 0.5, np.array(moments.direction)
    along = np.stack([columns + 0.5, rows + 0.5], axis=1) @ direction - centre @ direction
    height, width = mask.shape
    left, right = (centre + reach * direction for reach in (along.min() - 0.5, along.max() + 0.5))
    return MaskAxis(
        (
            Point(float(left[0]) / width, float(left[1]) / height),
            Point(float(right[0]) / width, float(right[1]) / height),
        ),
        moments.axis_deg,
        float(along.max() - along.min() + 1) / diagonal_px(width, height),
        moments.elongation,
    )
