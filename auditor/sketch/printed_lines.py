"""Take the printed lines of squared, ruled or dotted paper out of a map of ink.

At each distance from a printed line, most of a block of the page shows the print alone, because a
drawing covers little of it: the median over the block is the print. What exceeds it is drawn, so a
pencil as dark as the print keeps its lines between the printed ones, and adds to them where it
crosses or follows one.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray
from scipy import ndimage

from auditor.sketch.ink import block_mean
from auditor.sketch.printed_pattern import LineFamily, find_level_family

Array = NDArray[np.float32]

REDUCTION = 2  # the pattern is looked for at half the size
REACH_PX = 5  # to both sides of the middle of a printed line
N_BINS = 2 * REACH_PX + 1
# Blocks have this many lines of the pattern, so that one drawn line is no median.
LINES_PER_BLOCK = 5
# Darkness is counted in steps of 1/400 up to 0.64; print is hardly darker.
N_LEVELS, LEVELS_PER_UNIT = 256, 400
# The print is uneven along a line and its place is known to a pixel: what is taken away is this
# many times the median, and that of the neighbouring distance where it is darker. Our choice.
PRINT_MARGIN = 1.35
BINS_TOGETHER = 5  # of distance: within a block the place of a line is off by up to 2 px
LEAST_PRINT = 0.012  # medians below are no print: noise and unevenness of paper
# Share of the blocks of a page in which a pattern must be seen. A sheet that fills a third of the
# picture is enough; a drawn line that runs along an imagined pattern fills a few blocks.
LEAST_PRINTED_BLOCKS = 0.3
# In a block that a drawn line runs through, the print is not darker than around it, but for light.
DARKEST_OF_NEIGHBOURS = 1.3
# In a block that the sheet covers in part the median is no print; it is at least this share of the
# usual.
PALEST_OF_USUAL = 0.8
# The usual print is that of blocks at least this share as dark as the darkest but a few: what the
# grain of a desk beside the sheet leaves in a block is no print. Our choice, no source.
CLEAR_OF_DARKEST, DARKEST_PERCENTILE = 0.5, 80.0
DOT_APART_PX = 4  # from the middle of a printed dot to the paper around it, at half the size


def without_printed_lines(darkness: Array) -> Array:
    """Take the printed pattern away.

    Parameters
    ----------
    darkness : (H, W) float array
        Contrast with the paper, in [0, 1].
    """
    reduced = block_mean(darkness, REDUCTION)
    rest = darkness
    for is_upright in (False, True):
        family = _family(reduced, is_upright=is_upright)
        if family is not None:
            bins = _bins(family, darkness.shape, is_upright=is_upright)
            without = _without(darkness, bins, (N_BINS,), family.period_px)
            rest = rest if without is None else np.minimum(rest, without)
    return _without_dots(rest, block_mean(rest, REDUCTION))


def _without_dots(darkness: Array, reduced: Array) -> Array:
    """Take away dots, and the crossings of lines."""
    dots = np.minimum(_exceeds(reduced, axis=0), _exceeds(reduced, axis=1))
    level, upright = (_family(dots, is_upright=is_upright) for is_upright in (False, True))
    if level is None or upright is None:
        return darkness
    rows = _bins(level, darkness.shape, is_upright=False)
    columns = _bins(upright, darkness.shape, is_upright=True)
    both = np.where((rows >= 0) & (columns >= 0), rows * N_BINS + columns, -1).astype(np.int16)
    without = _without(darkness, both, (N_BINS, N_BINS), level.period_px)
    return darkness if without is None else without


def _exceeds(values: Array, axis: int) -> Array:
    """By how much each pixel is darker than both neighbours along an axis."""
    before, after = (np.roll(values, shift, axis) for shift in (DOT_APART_PX, -DOT_APART_PX))
    return np.asarray(np.maximum(values - np.maximum(before, after), 0))


def _family(reduced: Array, *, is_upright: bool) -> LineFamily | None:
    return find_level_family(np.ascontiguousarray(reduced.T) if is_upright else reduced)


def _bins(family: LineFamily, shape: tuple[int, ...], *, is_upright: bool) -> NDArray[np.int16]:
    """Distance from a printed line as an index; -1 beyond reach."""
    height, width = shape
    turned = (width, height) if is_upright else (height, width)
    distance = np.rint(family.distance(turned, REDUCTION))
    bins = np.where(np.abs(distance) <= REACH_PX, distance + REACH_PX, -1).astype(np.int16)
    return np.ascontiguousarray(bins.T) if is_upright else bins


def _without(
    darkness: Array, bins: NDArray[np.int16], shape: tuple[int, ...], period_px: float
) -> Array | None:
    """Darkness less the print at each distance from its lines; None if nothing is printed."""
    block_px = int(LINES_PER_BLOCK * period_px * REDUCTION)
    rows, columns = (bins >= 0).nonzero()
    n_bins = int(np.prod(shape))
    n_down, n_across = darkness.shape[0] // block_px + 1, darkness.shape[1] // block_px + 1
    block = (rows // block_px) * n_across + columns // block_px
    cell = block * n_bins + bins[rows, columns]
    values = darkness[rows, columns]
    medians = _medians(cell, values, n_down * n_across * n_bins)
    table = _filled(medians.reshape(n_down, n_across, n_bins))
    if table is None:
        return None
    spread = table.reshape(n_down, n_across, *shape)
    table = ndimage.maximum_filter(
        spread, (1, 1, *[BINS_TOGETHER for _ in shape]), mode="nearest"
    ).ravel()
    rest = darkness.copy()
    rest[rows, columns] = np.maximum(values - PRINT_MARGIN * table[cell], 0)
    return rest


def _filled(table: Array) -> Array | None:
    """The print of all blocks, continued to those that the sheet covers in part."""
    height = table.max(axis=2)
    printed = height >= LEAST_PRINT
    if printed.mean() < LEAST_PRINTED_BLOCKS:
        return None
    clear = height >= CLEAR_OF_DARKEST * np.percentile(height[printed], DARKEST_PERCENTILE)
    if clear.mean() < LEAST_PRINTED_BLOCKS:  # drawn lines along an imagined pattern
        clear = printed
    usual = np.median(table[clear], axis=0)
    too_dark = DARKEST_OF_NEIGHBOURS * float(usual.max()) / np.maximum(height, 1e-6)
    table = table * np.minimum(too_dark, 1)[..., None]
    return np.asarray(np.maximum(table, PALEST_OF_USUAL * usual), dtype=np.float32)


def _medians(cell: NDArray[np.intp], values: Array, n_cells: int) -> Array:
    """Median of the values of each cell."""
    level = np.minimum((values * LEVELS_PER_UNIT).astype(np.intp), N_LEVELS - 1)
    counts = np.bincount(cell * N_LEVELS + level, minlength=n_cells * N_LEVELS)
    cumulative = counts.reshape(n_cells, N_LEVELS).cumsum(axis=1)
    half = cumulative[:, -1:] / 2
    return np.asarray((cumulative < half).sum(axis=1) / LEVELS_PER_UNIT, dtype=np.float32)
