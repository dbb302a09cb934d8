"""Numbers that describe a row of shapes, from which writing is told from other things.

Writing put onto a picture has one ink (or, half transparent, one share of an ink), razor-sharp
edges, strokes of about one width, and letters that stand on one line and end at one height. Above
and below a line there are no such strokes. Print in the scene has shading, blur and perspective;
grain, herbs and tiles go on above and below.
"""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import NDArray

from auditor.measurements.additions.letters import Letters
from auditor.measurements.additions.rows import Row
from auditor.measurements.additions.strokes import Strokes

ON_LINE = 0.06
"""Distance from a common line within which a letter stands on it, in letter heights; plus 0.6 px
for antialiasing."""

ON_LINE_PX = 0.6

BAND_NEAR, BAND_FAR = 0.45, 1.05
"""The bands above and below a row begin and end at these distances from it, in its heights:
beyond ascenders and descenders, before the next line."""

INK_TOLERANCE = 22.0
"""Largest difference of a channel from the ink, 8-bit code values, plus the spread of the ink: what
JPEG does to thin strokes."""

SOFT = 2.0
"""Added to code values before their logarithm is taken: rounding and JPEG."""

MAX_TRANSPARENCY = 0.9
"""Largest share of the ground in the ink."""

GROUND_VARIANCE = 9.0
"""Added to the variance of the ground: below it nothing is learned about transparency."""

LEAST_SHARE = 0.01
"""Added to a share before its logarithm is taken."""

LUMA_WEIGHTS = np.array([0.299, 0.587, 0.114])
"""ITU-R BT.601."""

FEATURE_NAMES = (
    "joined", "level", "count", "span", "height", "ink residual", "ink deviation", "transparency",
    "ink spread", "contrast", "steepness", "bottoms on line", "tops on line", "stroke variation",
    "height variation", "ground deviation", "fill", "strokes in band", "strokes beside, most",
    "strokes beside, least", "share of strokes", "ink in band", "ink beside", "ink over strokes",
)  # fmt: skip


def describe_row(
    pixels: NDArray[np.uint8],
    strokes: Strokes,
    letters: Letters,
    row: Row,
    *,
    joined: bool,
    reduction: int,
    short_side_px: int,
) -> list[float]:
    """Describe a row by the numbers of `FEATURE_NAMES`.

    Parameters
    ----------
    pixels : (H, W, 3) uint8 array
        sRGB, at the level of the letters.
    strokes, letters, row
        Found in it.
    joined : bool
        Whether strokes that almost touch were joined.
    reduction : int
        How many times smaller the level is than the picture.
    short_side_px : int
        Of the picture.
    """
    at = row.members
    weight = letters.area[at] / letters.area[at].sum()
    ink, ground = letters.ink[at], letters.ground[at]
    mean_ink, mean_ground = weight @ ink, float(weight @ ground)
    variance = float(weight @ (ground - mean_ground) ** 2)
    share = np.clip(
        (weight * (ground - mean_ground)) @ (ink - mean_ink) / (variance + GROUND_VARIANCE),
        0,
        MAX_TRANSPARENCY,
    )
    residual = ink - mean_ink - share * (ground - mean_ground)[:, None]
    height = row.letter_height
    within = ON_LINE * height + ON_LINE_PX
    stroke, heights = letters.stroke[at], letters.height[at]
    box = (row.right - row.left) * (row.bottom - row.top)
    spread = float(weight @ letters.ink_spread[at])
    luma_ink = float(mean_ink @ LUMA_WEIGHTS)
    return [
        float(joined),
        math.log2(reduction),
        math.log(at.size),
        math.log((row.right - row.left) / height),
        math.log(height * reduction / short_side_px),
        math.log(float(np.sqrt(weight @ residual**2).mean()) + SOFT),
        math.log(float(np.sqrt(weight @ (ink - mean_ink) ** 2).mean()) + SOFT),
        float(share.mean()),
        math.log(spread + SOFT),
        math.log(abs(luma_ink - mean_ground) + 1),
        float(weight @ letters.steepness[at]),
        _on_one_line(letters.bottom[at], weight, within),
        _on_one_line(letters.top[at], weight, within),
        _variation(stroke, weight),
        _variation(heights, weight),
        math.log(math.sqrt(variance) + SOFT),
        float(letters.area[at].sum()) / box,
        *_bands(pixels, strokes, letters, row, mean_ink, INK_TOLERANCE + spread),
    ]


def _on_one_line(places: NDArray[np.float64], weight: NDArray[np.float64], within: float) -> float:
    """Largest share of the letters that end within a distance of one line."""
    near = np.abs(places[:, None] - places[None, :]) <= within
    return float((near @ weight).max())


def _middle(values: NDArray[np.float64]) -> float:
    """The lower median: a value that occurs."""
    return float(np.sort(values)[(values.size - 1) // 2])


def _variation(values: NDArray[np.float64], weight: NDArray[np.float64]) -> float:
    """Coefficient of variation."""
    mean = float(weight @ values)
    return math.sqrt(float(weight @ (values - mean) ** 2)) / mean


def _bands(
    pixels: NDArray[np.uint8],
    strokes: Strokes,
    letters: Letters,
    row: Row,
    ink: NDArray[np.float64],
    tolerance: float,
) -> list[float]:
    """Shares of strokes and of ink in the row, above it and below it."""
    top = _middle(letters.top[row.members])
    bottom = _middle(letters.bottom[row.members])
    height = max(4.0, bottom - top)
    first = max(0, int(top - BAND_FAR * height))
    window = (
        slice(first, min(strokes.drawn.shape[0], math.ceil(bottom + BAND_FAR * height) + 1)),
        slice(int(row.left), math.ceil(row.right)),
    )
    by_row = np.stack(
        [
            np.count_nonzero(strokes.drawn[window], axis=1),
            np.count_nonzero(_is_ink(pixels[window], ink, tolerance), axis=1),
        ]
    ) / max(1, window[1].stop - window[1].start)

    def share(start: float, end: float) -> NDArray[np.float64]:
        part = by_row[:, max(0, int(start) - first) : max(0, int(end) - first)]
        mean: NDArray[np.float64] = part.mean(axis=1) if part.shape[1] > 1 else np.zeros(2)
        return mean

    inside = share(top, bottom)
    above = share(top - BAND_FAR * height, top - BAND_NEAR * height)
    below = share(bottom + BAND_NEAR * height, bottom + BAND_FAR * height)
    rows = slice(int(row.top) - first, int(row.bottom) - first)
    drawn_px = by_row[0, max(0, rows.start) : rows.stop].sum() * (window[1].stop - window[1].start)
    own = float(letters.area[row.members].sum()) / max(1.0, float(drawn_px))
    beside = max(float(above[1]), float(below[1]))
    in_ink = float(inside[1])
    return [
        float(inside[0]),
        max(float(above[0]), float(below[0])),
        min(float(above[0]), float(below[0])),
        min(own, 1.0),
        in_ink,
        math.log(beside + LEAST_SHARE),
        math.log(in_ink + LEAST_SHARE) - math.log(beside + LEAST_SHARE),
    ]


def _is_ink(
    pixels: NDArray[np.uint8], ink: NDArray[np.float64], tolerance: float
) -> NDArray[np.bool_]:
    """Where (h, w, 3) pixels have the colour of the ink in every channel."""
    low = np.clip(np.ceil(ink - tolerance), 0, 255).astype(np.uint8)
    high = np.clip(np.floor(ink + tolerance), 0, 255).astype(np.uint8)
    within: NDArray[np.bool_] = np.ones(pixels.shape[:2], dtype=np.bool_)
    for channel in range(3):
        # Unsigned, what lies below the lowest wraps to above the highest.
        within &= pixels[..., channel] - low[channel] <= high[channel] - low[channel]
    return within
