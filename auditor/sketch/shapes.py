"""Shapes of outlines: how near to an ellipse or to a rectangle, and what lies within their lines.

Positions are x and y of the canvas in px.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from scipy import ndimage
from scipy.spatial import ConvexHull, QhullError

from auditor.geometry import moments_of
from auditor.sketch.canvas import Mask

EIGHT = np.ones((3, 3), dtype=np.bool_)
HALF_PEN_PX = 1.5  # between the middle of an outline and the rim of its filled mask


@dataclass(frozen=True, slots=True, eq=False)
class Outline:
    """A connected piece of drawing.

    Attributes
    ----------
    rows, columns : slice
        Its window on the canvas.
    filled : (h, w) bool array
        What it encloses, with its ink, within the window.
    ink : (h, w) bool array
        Its ink within the window.
    """

    rows: slice
    columns: slice
    filled: Mask
    ink: Mask

    @property
    def area(self) -> int:
        """In px."""
        return int(self.filled.sum())

    @property
    def enclosed(self) -> float:
        """Share of the filled mask that is no ink."""
        return 1 - float(self.ink.sum()) / max(1, self.area)


@dataclass(frozen=True, slots=True)
class Oval:
    """How a filled mask compares with the ellipse of the same second moments.

    Attributes
    ----------
    overlap : float
        Intersection over union, in [0, 1].
    ratio : float
        Minor over major axis.
    angle_deg : float
        Of the major axis.
    major : float
        Major semi-axis in px.
    """

    overlap: float
    ratio: float
    angle_deg: float
    major: float


def hull_area(mask: Mask) -> float:
    """Area of the convex hull of a mask, in px."""
    rows, columns = np.nonzero(mask ^ ndimage.binary_erosion(mask))
    if rows.size < 3:
        return float(mask.sum())
    try:
        return float(ConvexHull(np.stack([columns, rows], axis=1)).volume)
    except QhullError:  # all on one line
        return float(mask.sum())


def oval_of(mask: Mask, grown_px: float = -HALF_PEN_PX) -> Oval:
    """Compare a mask with the ellipse of its second moments.

    Parameters
    ----------
    mask : (h, w) bool array
        Not empty.
    grown_px : float
        Added to both semi-axes before their ratio is taken: from the rim of the mask to the middle
        of the pen's line.
    """
    rows, columns = np.nonzero(mask)
    shape = moments_of(columns, rows)
    a, b = 2 * shape.long, 2 * shape.short
    y, x = np.indices(mask.shape)
    dx, dy = x - shape.middle[0], y - shape.middle[1]
    u = dx * shape.direction[0] + dy * shape.direction[1]
    v = dy * shape.direction[0] - dx * shape.direction[1]
    ellipse = (u / a) ** 2 + (v / b) ** 2 <= 1
    # The part of the ellipse that lies outside the window counts as missed.
    both = float((ellipse & mask).sum())
    overlap = both / max(1.0, math.pi * a * b + float(mask.sum()) - both)
    ratio = max(b + grown_px, 0.5) / max(a + grown_px, 1.0)
    return Oval(overlap, min(1.0, ratio), shape.axis_deg, a + grown_px)


def squareness(mask: Mask) -> float:
    """Share of the smallest turned rectangle around a mask that it fills, in [0, 1]."""
    rows, columns = np.nonzero(mask ^ ndimage.binary_erosion(mask))
    points = np.stack([columns, rows], axis=1).astype(float)
    try:
        hull = points[ConvexHull(points).vertices]
    except (QhullError, ValueError):
        return 0.0
    edges = np.diff(np.concatenate([hull, hull[:1]]), axis=0)
    angles = np.arctan2(edges[:, 1], edges[:, 0])
    c, s = np.cos(angles)[:, None], np.sin(angles)[:, None]
    u, v = c * hull[:, 0] + s * hull[:, 1], -s * hull[:, 0] + c * hull[:, 1]
    smallest = float((np.ptp(u, axis=1) * np.ptp(v, axis=1)).min())
    return min(1.0, float(mask.sum()) / max(smallest, 1.0))


def faces(outline: Outline) -> list[Mask]:
    """What the lines within an outline enclose, each face filled; within its window."""
    open_space = outline.filled & ~outline.ink
    labels, n_faces = ndimage.label(open_space)
    return [ndimage.binary_fill_holes(labels == index) for index in range(1, n_faces + 1)]
