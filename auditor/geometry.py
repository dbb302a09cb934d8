"""The frame of reference: positions, boxes, angles, clock directions.

Positions are fractions of the frame as displayed: x runs from 0 at the left edge to 1 at the
right edge, y from 0 at the top edge to 1 at the bottom edge. The centre of pixel (row, column) of
an (H, W) array lies at x = (column + 0.5) / W, y = (row + 0.5) / H. Distances are fractions of the
frame's diagonal, computed in pixels. Angles of lines are degrees counter-clockwise from the
horizontal as the picture is seen, in (-90, 90]: a line from the lower left to the upper right is
positive. Clock directions lie on the table plane around the subject, seen from above, with the
camera at 6.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING, NamedTuple

if TYPE_CHECKING:  # a plan is read without numpy, which takes longer to load than the plan
    import numpy as np
    from numpy.typing import NDArray

GOLDEN_RATIO = (1 + math.sqrt(5)) / 2


class Point(NamedTuple):
    """A position in the frame, as fractions."""

    x: float
    y: float


class Box(NamedTuple):
    """An upright rectangle in the frame, as fractions."""

    left: float
    top: float
    right: float
    bottom: float

    @property
    def centre(self) -> Point:
        """Centre of the box."""
        return Point((self.left + self.right) / 2, (self.top + self.bottom) / 2)

    @property
    def area_fraction(self) -> float:
        """Share of the frame, in [0, 1]."""
        return max(0.0, self.right - self.left) * max(0.0, self.bottom - self.top)


@dataclass(frozen=True, slots=True)
class Region:
    """One thing in the frame.

    Attributes
    ----------
    centroid : Point
        Mean position of its pixels.
    bbox : Box
        The smallest upright rectangle around it.
    area_fraction : float
        Share of the frame that it covers, in [0, 1].
    elongation : float or None
        Length over width of the ellipse with the same second moments, at least 1: 1 for a disc or a
        square, about 5 for a spoon. None where it is unknown.
    axis_deg : float or None
        Direction of that ellipse's longer axis, in (-90, 90], counter-clockwise as seen.
    """

    centroid: Point
    bbox: Box
    area_fraction: float
    elongation: float | None = None
    axis_deg: float | None = None


@dataclass(frozen=True, slots=True)
class Ellipse:
    """An ellipse in the frame.

    Attributes
    ----------
    centre : Point
        As fractions of the frame.
    semi_axes : tuple of float
        Major and minor semi-axis, as fractions of the frame's diagonal, major first.
    angle_deg : float
        Direction of the major axis, in (-90, 90], counter-clockwise as seen.
    """

    centre: Point
    semi_axes: tuple[float, float]
    angle_deg: float


@dataclass(frozen=True, slots=True)
class Tilt:
    """An estimate of the picture's roll from one cue.

    Attributes
    ----------
    deg : float
        Positive where level things rise to the right.
    error_deg : float
        Standard error, provided the cue is valid.
    chance : float
        Probability that the cue is valid, in [0, 1].
    """

    deg: float
    error_deg: float
    chance: float


def diagonal_px(width: float, height: float) -> float:
    """Length of the frame's diagonal in pixels."""
    return math.hypot(width, height)


def distance_fraction(a: Point, b: Point, width: float, height: float) -> float:
    """Distance between two positions as a fraction of the frame's diagonal.

    Only the ratio of `width` to `height` matters.
    """
    dx, dy = (a.x - b.x) * width, (a.y - b.y) * height
    return math.hypot(dx, dy) / diagonal_px(width, height)


def fold_angle_deg(angle_deg: float) -> float:
    """Fold the direction of an undirected line into (-90, 90]."""
    folded = math.fmod(angle_deg, 180.0)
    if folded <= -90:
        folded += 180
    elif folded > 90:
        folded -= 180
    return folded


def line_angle_deg(a: Point, b: Point, width: float, height: float) -> float:
    """Angle of the line through two positions, in (-90, 90] degrees; positive if rising right."""
    dx, dy = (b.x - a.x) * width, (b.y - a.y) * height
    return fold_angle_deg(math.degrees(math.atan2(-dy, dx)))


def angle_difference_deg(a_deg: float, b_deg: float) -> float:
    """Smallest angle between two undirected lines, in [0, 90] degrees."""
    return abs(fold_angle_deg(a_deg - b_deg))


def clock_from_direction(right: float, away: float) -> float:
    """Clock position of a direction on the table plane, in (0, 12].

    Parameters
    ----------
    right, away : float
        Components towards the right of the camera and away from it; any scale.
    """
    hours = math.degrees(math.atan2(right, away)) / 30.0
    return hours if hours > 0 else hours + 12.0


def clock_difference_hours(a: float, b: float) -> float:
    """Signed difference from `b` to `a` along the shorter arc, in (-6, 6] hours, clockwise > 0."""
    difference = math.fmod(a - b, 12.0)
    if difference <= -6:
        difference += 12
    elif difference > 6:
        difference -= 12
    return difference


def describe_mask(mask: NDArray[np.bool_]) -> Region | None:
    """Centroid, box, share and shape of a mask; None if it is empty.

    Parameters
    ----------
    mask : (H, W) bool array
        Covers the whole frame; its pixels are square.
    """
    rows, columns = mask.nonzero()
    if rows.size == 0:
        return None
    height, width = mask.shape
    shape = moments_of(columns, rows)
    return Region(
        Point(float(columns.mean() + 0.5) / width, float(rows.mean() + 0.5) / height),
        Box(
            float(columns.min()) / width,
            float(rows.min()) / height,
            float(columns.max() + 1) / width,
            float(rows.max() + 1) / height,
        ),
        float(rows.size) / mask.size,
        shape.elongation,
        shape.axis_deg,
    )


@dataclass(frozen=True, slots=True)
class Moments:
    """Pixels by their second moments, in px.

    Attributes
    ----------
    middle : tuple of float
        (x, y) of the mean of the pixels' indices.
    direction : tuple of float
        Unit vector (x to the right, y downwards) along the longer axis; x is not negative.
    long, short : float
        Standard deviations along both axes. A pixel is a square with moments of its own.
    """

    middle: tuple[float, float]
    direction: tuple[float, float]
    long: float
    short: float

    @property
    def elongation(self) -> float:
        """Length over width."""
        return self.long / self.short

    @property
    def axis_deg(self) -> float:
        """Angle of the longer axis, counter-clockwise from the horizontal, in (-90, 90]."""
        return fold_angle_deg(math.degrees(math.atan2(-self.direction[1], self.direction[0])))


def moments_of(columns: NDArray[np.intp], rows: NDArray[np.intp]) -> Moments:
    """Second moments of pixels, at least one."""
    middle = float(columns.mean()), float(rows.mean())
    x, y = columns - middle[0], rows - middle[1]
    pixel = 1 / 12  # second moment of a square of one pixel about its own middle
    xx, yy = float(x @ x) / x.size + pixel, float(y @ y) / y.size + pixel
    xy = float(x @ y) / x.size
    half_sum, half_difference = (xx + yy) / 2, math.hypot((xx - yy) / 2, xy)
    angle = math.atan2(2 * xy, xx - yy) / 2  # in (-90, 90] degrees, so that the cosine is positive
    return Moments(
        middle,
        (math.cos(angle), math.sin(angle)),
        math.sqrt(half_sum + half_difference),
        math.sqrt(half_sum - half_difference),
    )


def mask_window(mask: NDArray[np.bool_], *, margin_px: int) -> tuple[slice, slice] | None:
    """Rows and columns of a mask's box with a margin, within the frame; None if it is empty.

    Parameters
    ----------
    mask : (H, W) bool array
    margin_px : int
        Not negative.
    """
    import numpy as np

    rows, columns = np.flatnonzero(mask.any(axis=1)), np.flatnonzero(mask.any(axis=0))
    if rows.size == 0:
        return None
    return (
        slice(max(0, int(rows[0]) - margin_px), int(rows[-1]) + 1 + margin_px),
        slice(max(0, int(columns[0]) - margin_px), int(columns[-1]) + 1 + margin_px),
    )


def mirror_is_canonical(pixels: NDArray[np.uint8]) -> bool:
    """True if the mirror image is the canonical orientation to measure.

    Rounding and ties differ slightly between a picture and its mirror image. Measuring the
    canonical one of the two gives bit-identical results for both. The first pixel that differs
    from its mirrored counterpart decides; a picture without one is its own mirror image.

    Parameters
    ----------
    pixels : (H, W, 3) uint8 array
    """
    for row in pixels:
        own, mirrored = row.ravel(), row[::-1].ravel()
        (differing,) = (own != mirrored).nonzero()
        if differing.size:
            return bool(own[differing[0]] > mirrored[differing[0]])
    return False
