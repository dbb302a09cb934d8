"""Numbers that describe a row of shapes, from which writing is told from other things.

Writing put onto a picture has one ink (or, half transparent, one share of an ink), razor-sharp
edges, strokes of about one width, and letters that stand on one line and end at one height. Above
and below a line there are no such strokes. Print in the scene has shading, blur and perspective;
grain, herbs and tiles go on above and below.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from auditor.measurements.additions.letters import Letters
from auditor.measurements.additions.rows import Row
from auditor.measurements.additions.shapes import Column, Indices
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


Colour = NDArray[np.uint8]  # (3,), sRGB


@dataclass(frozen=True, slots=True)
class _Members:
    """The letters of all rows, row by row.

    Attributes
    ----------
    at : (M,) int array
        Places in the columns of the letters.
    starts : (N,) int array
        First of each row.
    of : (M,) int array
        The row of each.
    weight : (M,) float array
        Share of its row's area.
    """

    at: Indices
    starts: Indices
    of: Indices
    weight: Column

    @staticmethod
    def gathered(rows: Sequence[Row], area: Column) -> _Members:
        counts = np.array([row.members.size for row in rows])
        at = np.concatenate([row.members for row in rows])
        starts, of = np.cumsum(counts) - counts, np.repeat(np.arange(counts.size), counts)
        own = area[at]
        return _Members(at, starts, of, own / np.add.reduceat(own, starts)[of])

    def mean(self, values: Column) -> Column:
        """Weighted mean of each row, of (M, ...) values."""
        weight = self.weight.reshape(-1, *(1,) * (values.ndim - 1))
        return np.asarray(np.add.reduceat(weight * values, self.starts, axis=0))


def describe_rows(
    pixels: NDArray[np.uint8],
    strokes: Strokes,
    letters: Letters,
    rows: Sequence[Row],
    *,
    joined: bool,
    reduction: int,
    short_side_px: int,
) -> NDArray[np.float64]:
    """Describe rows by the numbers of `FEATURE_NAMES`.

    Parameters
    ----------
    pixels : (H, W, 3) uint8 array
        sRGB, at the level of the letters.
    strokes, letters, rows
        Found in it.
    joined : bool
        Whether strokes that almost touch were joined.
    reduction : int
        How many times smaller the level is than the picture.
    short_side_px : int
        Of the picture.

    Returns
    -------
    (N, F) float array
        One line for each row.
    """
    if not rows:
        return np.zeros((0, len(FEATURE_NAMES)))
    members = _Members.gathered(rows, letters.area)
    at, of, mean = members.at, members.of, members.mean
    ink, ground = letters.ink[at], letters.ground[at]
    mean_ink, mean_ground = mean(ink), mean(ground)
    off_ink, off_ground = ink - mean_ink[of], ground - mean_ground[of]
    variance = mean(off_ground**2)
    share = np.clip(
        mean(off_ground[:, None] * off_ink) / (variance + GROUND_VARIANCE)[:, None],
        0,
        MAX_TRANSPARENCY,
    )
    residual = off_ink - share[of] * off_ground[:, None]
    height = np.array([row.letter_height for row in rows])
    length = np.array([row.right - row.left for row in rows])
    box = length * np.array([row.bottom - row.top for row in rows])
    counts = np.bincount(of)
    spread = mean(letters.ink_spread[at])
    tolerance = (INK_TOLERANCE + spread)[:, None]
    low = np.clip(np.ceil(mean_ink - tolerance), 0, 255).astype(np.uint8)
    high = np.clip(np.floor(mean_ink + tolerance), 0, 255).astype(np.uint8)
    tops = _middle(letters.top[at], members).tolist()
    bottoms = _middle(letters.bottom[at], members).tolist()
    areas = np.add.reduceat(letters.area[at], members.starts)
    bands = [
        _bands(pixels, strokes, row, ends, area, inks)
        for row, ends, area, inks in zip(
            rows,
            zip(tops, bottoms, strict=True),
            areas.tolist(),
            zip(low, high - low, strict=True),
            strict=True,
        )
    ]
    columns = [
        np.full(len(rows), float(joined)),
        np.full(len(rows), math.log2(reduction)),
        np.log(counts),
        np.log(length / height),
        np.log(height * reduction / short_side_px),
        np.log(np.sqrt(mean(residual**2)).mean(axis=1) + SOFT),
        np.log(np.sqrt(mean(off_ink**2)).mean(axis=1) + SOFT),
        share.mean(axis=1),
        np.log(spread + SOFT),
        np.log(np.abs(mean_ink @ LUMA_WEIGHTS - mean_ground) + 1),
        mean(letters.steepness[at]),
        _on_one_line(letters.bottom[at], members, ON_LINE * height + ON_LINE_PX),
        _on_one_line(letters.top[at], members, ON_LINE * height + ON_LINE_PX),
        _variation(letters.stroke[at], members),
        _variation(letters.height[at], members),
        np.log(np.sqrt(variance) + SOFT),
        areas / box,
    ]
    return np.column_stack([*columns, np.array(bands)])


def _on_one_line(places: Column, members: _Members, within: Column) -> Column:
    """Largest share of each row's letters that end within a distance of one line.

    Places are whole pixels, and so a distance is within a limit if it is within its whole part.
    """
    reach = np.floor(within)
    # Rows lie one after the other on one axis, too far apart to reach each other.
    apart = places.max() + reach.max() + 1
    axis = places + 2 * apart * members.of
    order = np.argsort(axis)
    covered = np.concatenate([[0.0], np.cumsum(members.weight[order])])
    first = np.searchsorted(axis[order], axis - reach[members.of], side="left")
    last = np.searchsorted(axis[order], axis + reach[members.of], side="right")
    return np.asarray(np.maximum.reduceat(covered[last] - covered[first], members.starts))


def _middle(values: Column, members: _Members) -> Column:
    """The lower median of each row's letters: a value that occurs."""
    counts = np.bincount(members.of)
    order = np.lexsort((values, members.of))
    return np.asarray(values[order][members.starts + (counts - 1) // 2])


def _variation(values: Column, members: _Members) -> Column:
    """Coefficient of variation of each row's letters."""
    middle = members.mean(values)
    return np.asarray(np.sqrt(members.mean((values - middle[members.of]) ** 2)) / middle)


def _bands(
    pixels: NDArray[np.uint8],
    strokes: Strokes,
    row: Row,
    ends: tuple[float, float],
    area: float,
    inks: tuple[Colour, Colour],
) -> list[float]:
    """Shares of strokes and of ink in the row, above it and below it.

    `ends` are the top and the bottom of its letters, `area` is their sum, and `inks` are as in
    `_is_ink`.
    """
    top, bottom = ends
    height = max(4.0, bottom - top)
    first = max(0, int(top - BAND_FAR * height))
    window = (
        slice(first, min(strokes.drawn.shape[0], math.ceil(bottom + BAND_FAR * height) + 1)),
        slice(int(row.left), math.ceil(row.right)),
    )
    width = max(1, window[1].stop - window[1].start)
    drawn = strokes.drawn[window]
    inked = _is_ink(pixels[window], inks)

    def lines(start: float, end: float) -> tuple[int, int]:
        """The lines of the window between two rows."""
        low = min(max(0, int(start) - first), len(drawn))
        return low, min(max(0, int(end) - first), len(drawn))

    def share(start: float, end: float) -> tuple[float, float]:
        """Shares of strokes and of ink between two rows."""
        low, high = lines(start, end)
        if high - low <= 1:
            return 0.0, 0.0
        size = (high - low) * width
        return _count(drawn[low:high]) / size, _count(inked[low:high]) / size

    inside = share(top, bottom)
    above = share(top - BAND_FAR * height, top - BAND_NEAR * height)
    below = share(bottom + BAND_NEAR * height, bottom + BAND_FAR * height)
    start, stop = lines(row.top, row.bottom)
    own = area / max(1.0, _count(drawn[start:stop]))
    beside = max(above[1], below[1])
    return [
        inside[0],
        max(above[0], below[0]),
        min(above[0], below[0]),
        min(own, 1.0),
        inside[1],
        math.log(beside + LEAST_SHARE),
        math.log(inside[1] + LEAST_SHARE) - math.log(beside + LEAST_SHARE),
    ]


def _count(mask: NDArray[np.bool_]) -> int:
    return int(np.count_nonzero(mask))


def _is_ink(pixels: NDArray[np.uint8], inks: tuple[Colour, Colour]) -> NDArray[np.bool_]:
    """Where (h, w, 3) pixels lie between the lowest and the highest ink in every channel.

    `inks` are the lowest, and how far above it the highest is.
    """
    low, above = inks
    # Unsigned, what lies below the lowest wraps to above the highest.
    within: NDArray[np.bool_] = pixels[..., 0] - low[0] <= above[0]
    for channel in (1, 2):
        within &= pixels[..., channel] - low[channel] <= above[channel]
    return within
