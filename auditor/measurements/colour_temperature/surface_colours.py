"""How the colours of things on a table lie about the neutral, and the neutral that fits them best.

Colour by correlation (Finlayson, Hordley, Hubel: Color by correlation, PAMI 2001): a neutral is
likely if the picture's colours, seen from it, lie as the colours of things usually do. Light tones
are often neutral (porcelain, cloth, paper), darker ones mostly warm (food, wood).

The blobs are Gaussians fitted by expectation maximisation to the colours of 167 photographs of
dishes by many hands (a public-domain recipe collection), each taken as balanced. Shares of a bin
are raised to `PRESENCE_EXPONENT` before: that a colour is present tells more than its area.
"""

from __future__ import annotations

from functools import lru_cache
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray
from scipy.ndimage import gaussian_filter
from scipy.signal import fftconvolve

N_WARMTH_BINS, N_DUV_BINS = 96, 48
WARMTH_BIN_MIRED, DUV_BIN = 8.0, 0.0024
"""The histogram reaches from -384 to 384 mired and from -0.058 to 0.058 in Duv."""

PRESENCE_EXPONENT = 0.35
"""Power of a bin's share; between area (1) and mere presence (0)."""

BRIGHTNESS_STEPS = (0.3, 0.6)
"""Brightness, relative to the light tones, that parts dark, middle and light cells."""

UNEXPECTED_SHARE = 3e-5
"""Share of a bin that any colour may have, however unlike those of the blobs."""

SMOOTHING_BINS = 0.7
"""Blur of the histogram: without it the answer would hang on the bins' edges."""

EVIDENCE = 10.0
"""How much the score counts against the two priors. Neighbouring cells are not independent, so
that it is far below the number of cells; of 1 to 40, 10 erred least on rendered tables."""

WARMTH_SPREAD_MIRED = 200.0
"""Standard deviation of the warmth expected beforehand; wide on purpose: a narrower one would draw
every answer to D65 and shorten every difference."""

DUV_SPREAD = 0.002
"""The same across the Planckian locus: the light of a finished picture is seldom tinted."""


class Blob(NamedTuple):
    """One Gaussian of surface colours: share, centre, spread and correlation."""

    share: float
    warmth_mired: float
    duv: float
    warmth_spread_mired: float
    duv_spread: float
    correlation: float


SURFACE_COLOURS: tuple[tuple[Blob, ...], ...] = (
    (  # dark
        Blob(0.31, 44, -0.0048, 77, 0.0104, -0.60),
        Blob(0.19, 99, -0.0245, 155, 0.0155, -0.51),
        Blob(0.50, 206, -0.0128, 82, 0.0261, -0.42),
    ),
    (  # middle
        Blob(0.11, 30, -0.0017, 40, 0.0041, -0.37),
        Blob(0.35, 90, -0.0043, 93, 0.0097, -0.50),
        Blob(0.54, 190, -0.0061, 90, 0.0228, -0.30),
    ),
    (  # light
        Blob(0.15, 8, 0.0002, 26, 0.0030, -0.32),
        Blob(0.48, 64, 0.0004, 59, 0.0072, -0.20),
        Blob(0.37, 161, 0.0039, 84, 0.0185, -0.10),
    ),
)


def _bin_offsets() -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Warmth and Duv of each bin relative to the middle one."""
    warmth = np.arange(N_WARMTH_BINS, dtype=np.float64) - N_WARMTH_BINS // 2
    duv = np.arange(N_DUV_BINS, dtype=np.float64) - N_DUV_BINS // 2
    return np.multiply(warmth, WARMTH_BIN_MIRED), np.multiply(duv, DUV_BIN)


def _density(blob: Blob) -> NDArray[np.float64]:
    """Share of each bin that a blob expects."""
    warmth, duv = _bin_offsets()
    # Bins are half open: their middles lie half a bin above their lower edges.
    x = ((warmth + WARMTH_BIN_MIRED / 2 - blob.warmth_mired) / blob.warmth_spread_mired)[:, None]
    y = ((duv + DUV_BIN / 2 - blob.duv) / blob.duv_spread)[None, :]
    rest = 1 - blob.correlation**2
    exponent = (x**2 - 2 * blob.correlation * x * y + y**2) / (2 * rest)
    area = 2 * np.pi * blob.warmth_spread_mired * blob.duv_spread * np.sqrt(rest)
    density: NDArray[np.float64] = np.exp(-exponent) * (WARMTH_BIN_MIRED * DUV_BIN / area)
    return density


@lru_cache(maxsize=1)
def _reversed_log_odds() -> NDArray[np.float64]:
    """For each brightness how much likelier a colour is than by chance, reversed to correlate."""
    expected = np.stack(
        [sum(blob.share * _density(blob) for blob in blobs) for blobs in SURFACE_COLOURS]
    )
    log_odds: NDArray[np.float64] = np.log1p(expected / UNEXPECTED_SHARE)[:, ::-1, ::-1]
    return log_odds


def _presence(plane: NDArray[np.float64], brightness: NDArray[np.float64]) -> NDArray[np.float64]:
    """Histogram by brightness, warmth and Duv, compressed and normalised to a sum of 1."""
    warmth, duv = _bin_offsets()
    edges = (
        np.array([-np.inf, *BRIGHTNESS_STEPS, np.inf]),
        np.append(warmth, -warmth[0]),
        np.append(duv, -duv[0]),
    )
    sample = np.column_stack([np.clip(brightness, 0, 10), plane])
    edges[0][[0, -1]] = -1, 11
    counts, _ = np.histogramdd(sample, bins=edges)
    present = (counts / len(plane)) ** PRESENCE_EXPONENT
    smooth = gaussian_filter(present, (0, SMOOTHING_BINS, SMOOTHING_BINS))
    normalised: NDArray[np.float64] = smooth / max(float(present.sum()), 1e-9)
    return normalised


def _top(values: NDArray[np.float64], at: int) -> float:
    """Position of the vertex of the parabola through three values, relative to `at`."""
    if not 0 < at < len(values) - 1:
        return 0.0
    before, here, after = values[at - 1 : at + 2]
    return float((before - after) / (2 * (before - 2 * here + after)))


def likeliest_neutral(
    plane: NDArray[np.float64], brightness: NDArray[np.float64]
) -> NDArray[np.float64]:
    """Position of the neutral that explains (N, 2) colours best, (2,); N is at least 1."""
    warmth, duv = _bin_offsets()
    pairs = zip(_presence(plane, brightness), _reversed_log_odds(), strict=True)
    score = EVIDENCE * sum(fftconvolve(seen, odds, mode="same") for seen, odds in pairs)
    score = score - (warmth[:, None] / WARMTH_SPREAD_MIRED) ** 2 / 2 - (duv / DUV_SPREAD) ** 2 / 2
    row, column = (int(i) for i in np.unravel_index(np.argmax(score), score.shape))
    return np.array(
        [
            warmth[row] + _top(score[:, column], row) * WARMTH_BIN_MIRED,
            duv[column] + _top(score[row], column) * DUV_BIN,
        ]
    )
