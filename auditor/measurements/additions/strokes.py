"""Strokes: what is lighter or darker than its surroundings, and narrow.

A grey-scale opening removes whatever is lighter than its surroundings and narrower than the window;
what it removes (the top-hat transform; Serra: Image Analysis and Mathematical Morphology, 1982) are
strokes. Each is cut at a share of its own height, so that faint and strong strokes have the same
shapes. Dark strokes are the light ones of the negative.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

import numpy as np
from numpy.typing import NDArray

STROKE_WINDOW_PX = 9
"""Side of the opening's window; narrower strokes are found."""

HEIGHT_WINDOW_PX = 13
"""Side of the window in which the highest stroke sets the height at which strokes are cut."""

CUT_SHARE = Fraction(3, 5)
"""Share of the highest step nearby at which a stroke is cut: higher than a half, since letters
touch edges of the picture behind them that are fainter than they."""

MIN_STEP = 14
"""Least difference between a stroke and its surroundings, 8-bit code values: below it, writing that
is half transparent can no longer be read at a glance (judged by eye)."""

Plane = NDArray[np.uint8]

RED, GREEN, BLUE = 77, 151, 28
"""Weights of luma in 256ths (ITU-R BT.601)."""


@dataclass(frozen=True, slots=True)
class Strokes:
    """Strokes of one polarity.

    Attributes
    ----------
    luma : (H, W) uint8 array
        The picture.
    ground : (H, W) uint8 array
        The picture without its strokes.
    step : (H, W) uint8 array
        Absolute difference between the two.
    drawn : (H, W) bool array
        True on strokes.
    """

    luma: Plane
    ground: Plane
    step: Plane
    drawn: NDArray[np.bool_]


def luma_of(pixels: NDArray[np.uint8]) -> Plane:
    """Luma of (H, W, 3) uint8 sRGB pixels."""
    red, green, blue = (pixels[..., channel].astype(np.uint16) for channel in range(3))
    return ((RED * red + GREEN * green + BLUE * blue) >> 8).astype(np.uint8)


def find_strokes(luma: Plane, *, light: bool) -> Strokes:
    """Find the strokes that are lighter (or darker) than their surroundings.

    Parameters
    ----------
    luma : (H, W) uint8 array
    light : bool
        Lighter ones; else darker ones.
    """
    plane = luma if light else ~luma
    opened = highest(_lowest(plane, STROKE_WINDOW_PX), STROKE_WINDOW_PX)
    step = plane - opened
    drawn = _is_above_share(step, highest(step, HEIGHT_WINDOW_PX))
    drawn &= step > MIN_STEP
    return Strokes(luma, opened if light else ~opened, step, drawn)


def _is_above_share(step: Plane, highest_step: Plane) -> NDArray[np.bool_]:
    """Where a step is above `CUT_SHARE` of the highest one, in integers: fast and exact."""
    above: NDArray[np.bool_] = step.astype(np.uint16) * CUT_SHARE.denominator > (
        highest_step.astype(np.uint16) * CUT_SHARE.numerator
    )
    return above


def highest(plane: Plane, side: int) -> Plane:
    """Greatest value in a square window of odd side; the frame ends at its edges."""
    return _extreme(plane, side, np.maximum)


def _lowest(plane: Plane, side: int) -> Plane:
    return _extreme(plane, side, np.minimum)


def _extreme(plane: Plane, side: int, take: np.ufunc) -> Plane:
    """Extreme value in a square window, by doubling shifts along columns and then along rows."""
    wide = _with_repeated_edges(plane, side // 2)
    span = 1
    while span < side:
        further = min(span, side - span)
        wide = take(wide[:-further], wide[further:])
        span += further
    span = 1
    while span < side:
        further = min(span, side - span)
        wide = take(wide[:, :-further], wide[:, further:])
        span += further
    return wide


def _with_repeated_edges(plane: Plane, margin: int) -> Plane:
    """The plane with its edge values repeated around it; `np.pad` takes longer than the rest."""
    height, width = plane.shape
    wide = np.empty((height + 2 * margin, width + 2 * margin), dtype=plane.dtype)
    rows, columns = slice(margin, margin + height), slice(margin, margin + width)
    wide[rows, columns] = plane
    wide[rows, :margin] = plane[:, :1]
    wide[rows, columns.stop :] = plane[:, -1:]
    wide[:margin] = wide[margin]
    wide[rows.stop :] = wide[rows.stop - 1]
    return wide
