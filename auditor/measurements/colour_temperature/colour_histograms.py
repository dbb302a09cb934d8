"""Which colours a picture holds, sorted by what each kind says of the light.

Histograms over the plane of neutrals. A cast moves all of them by the same vector, so that whatever
looks for a neutral in them need not know casts, only how the colours of things lie about one.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray
from scipy.ndimage import uniform_filter

from auditor.colorimetry import XYZ_FROM_LINEAR
from auditor.colour_signature.neutral_plane import Cells, plane_from_linear

Floats = NDArray[np.float64]

N_WARMTH_BINS, N_DUV_BINS = 96, 48
WARMTH_BIN_MIRED, DUV_BIN = 8.0, 0.0024
"""The histograms reach from -384 to 376 mired about D65 and from -0.058 to 0.055 in Duv."""

BRIGHTNESS_STEPS = (0.15, 0.3, 0.6, 0.9)
"""Brightness, relative to the light tones, that parts five kinds of cells: porcelain and paper are
among the lightest, most food and wood among the darker ones."""

NEIGHBOURS = ((0, 1), (1, 0), (0, 2), (2, 0))
"""Rows and columns between the two cells of a difference."""

LEAST_DIFFERENCE = 0.01
"""Luminance, of the light tones', below which a difference is grain."""

DIFFERENCE_STEPS = (0.15, 0.6)
"""Difference over the darker cell's luminance: shading and weave are below the first, gloss and the
edges of light things above the second. What gloss adds to a colour is the light's own colour
(Shafer: Using color to separate reflection components, 1985)."""

HIGHLIGHT_CELLS, HIGHLIGHT_RATIO, HIGHLIGHT_BRIGHTNESS = 5, 1.5, 0.15
"""A cell this much lighter than the mean of the square of cells around it is a highlight or a small
light thing."""

N_KINDS = len(BRIGHTNESS_STEPS) + 1 + len(DIFFERENCE_STEPS) + 1


def colour_histograms(cells: Cells, margin: tuple[int, int] = (0, 0)) -> NDArray[np.float32]:
    """Histograms of a picture's usable cells.

    Parameters
    ----------
    cells : Cells
        With at least one usable cell.
    margin : tuple of int
        Bins of warmth and of Duv more on each side; wanted where a cast is to be imitated.

    Returns
    -------
    (N_KINDS, N_WARMTH_BINS, N_DUV_BINS) float32 array
        Cells of five brightnesses, dark to light, differences of neighbours (small and large,
        weighed by their luminance) and highlights, each over the number of usable cells. What lies
        outside is left out: colours that strong say little of the light.
    """
    band = np.digitize(cells.brightness, BRIGHTNESS_STEPS)
    ones = np.ones(len(band))
    bands = [band == k for k in range(len(BRIGHTNESS_STEPS) + 1)]
    chosen = [(cells.plane[inside], ones[inside]) for inside in bands]
    chosen += _differences(cells)
    highlight = _highlights(cells)
    chosen.append((cells.plane[highlight], ones[highlight]))
    kinds = [_histogram(plane, weight, margin) for plane, weight in chosen]
    return np.asarray(np.stack(kinds) / len(band), dtype=np.float32)


def _histogram(plane: Floats, weight: Floats, margin: tuple[int, int]) -> Floats:
    """Weight by place, each shared among the four nearest bins, so that bins have no edges."""
    n_rows, n_columns = N_WARMTH_BINS + 2 * margin[0], N_DUV_BINS + 2 * margin[1]
    x = plane[:, 0] / WARMTH_BIN_MIRED + n_rows // 2
    y = plane[:, 1] / DUV_BIN + n_columns // 2
    inside = (x >= 0) & (x < n_rows - 1) & (y >= 0) & (y < n_columns - 1)
    x, y, weight = x[inside], y[inside], weight[inside]
    row, column = x.astype(np.intp), y.astype(np.intp)
    x, y = x - row, y - column
    place = row * n_columns + column
    places = np.concatenate([place, place + 1, place + n_columns, place + n_columns + 1])
    shares = np.concatenate([(1 - x) * (1 - y), (1 - x) * y, x * (1 - y), x * y])
    flat = np.bincount(places, shares * np.tile(weight, 4), n_rows * n_columns)
    return np.asarray(flat.reshape(n_rows, n_columns))


def _differences(cells: Cells) -> list[tuple[Floats, Floats]]:
    """Place and weight of what the lighter of two neighbours has more, where it has more of all."""
    reference, luminance = _reference(cells), cells.light @ XYZ_FROM_LINEAR[1]
    more, ratio = [], []
    for down, across in NEIGHBOURS:
        here = np.s_[: luminance.shape[0] - down, : luminance.shape[1] - across]
        there = np.s_[down:, across:]
        darker = np.minimum(luminance[here], luminance[there])
        step = luminance[there] - luminance[here]
        both = cells.usable[here] & cells.usable[there]
        both &= np.abs(step) > np.maximum(
            LEAST_DIFFERENCE * reference, DIFFERENCE_STEPS[0] * darker
        )
        apart = cells.light[there][both] - cells.light[here][both]
        apart *= np.sign(step[both])[:, np.newaxis]
        kept = apart.min(axis=1) > 0
        more.append(apart[kept])
        ratio.append(np.abs(step[both][kept]) / darker[both][kept])
    light, ratios = np.concatenate(more), np.concatenate(ratio)
    plane, weight = plane_from_linear(light), light @ XYZ_FROM_LINEAR[1] / reference
    large = ratios > DIFFERENCE_STEPS[1]
    return [(plane[chosen], weight[chosen]) for chosen in (~large, large)]


def _reference(cells: Cells) -> float:
    """Luminance of the picture's light tones."""
    first = np.unravel_index(int(np.argmax(cells.usable)), cells.usable.shape)
    return float(cells.light[first] @ XYZ_FROM_LINEAR[1]) / float(cells.brightness[0])


def _highlights(cells: Cells) -> NDArray[np.bool_]:
    """Which usable cells are much lighter than those around them."""
    luminance = cells.light @ XYZ_FROM_LINEAR[1]
    around = uniform_filter(luminance, HIGHLIGHT_CELLS)
    lighter = (luminance > HIGHLIGHT_RATIO * around)[cells.usable]
    return np.asarray(lighter & (cells.brightness > HIGHLIGHT_BRIGHTNESS))
