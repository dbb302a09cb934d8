"""The neutral of a picture, estimated by two small convolutional networks.

Colour constancy as localisation in a histogram of colours (Barron: Convolutional Color Constancy,
2015), here by an encoder and decoder with skip connections (Ronneberger, Fischer, Brox: U-Net,
2015) on the histograms of `colour_histograms`. `MODEL.md` describes the training pictures and the
accuracy.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from importlib.resources import files
from io import BytesIO

import numpy as np
from numpy.typing import NDArray

from auditor.measurements.colour_temperature.colour_histograms import (
    DUV_BIN,
    N_DUV_BINS,
    N_WARMTH_BINS,
    WARMTH_BIN_MIRED,
)
from auditor.measurements.colour_temperature.layers import (
    Maps,
    convolve_3x3,
    max_pool_2x2,
    upsample_2x,
)

PRESENCE_EXPONENT = 0.35
"""Exponent applied to the share of a bin: between its area (1) and its mere presence (0)."""

AREA_GAIN, AREA_CEILING = 30.0, 4.0
"""Gain and upper limit of the shares themselves, the second half of the input."""

N_LEVELS = 4
N_NETWORKS = 2
"""Trained separately, one on the colours of the training pictures, one on varied colours. The
logarithms of their probabilities are averaged."""


@dataclass(frozen=True, slots=True)
class NeutralEstimate:
    """The estimated neutral and its probability distribution.

    Attributes
    ----------
    position : (2,) float array
        Medians of warmth, in mired relative to D65, and of Duv relative to that of D65.
    warmth_probability : (N_WARMTH_BINS,) float array
        Probability of each bin of warmth; sums to 1.
    """

    position: NDArray[np.float64]
    warmth_probability: NDArray[np.float64]

    def probability_within(self, distance_mired: float) -> float:
        """Probability that the true neutral is within this distance of the estimate in warmth."""
        edges = _edges(N_WARMTH_BINS, WARMTH_BIN_MIRED)
        cumulative = np.concatenate([[0.0], np.cumsum(self.warmth_probability)])
        ends = self.position[0] + np.array([-distance_mired, distance_mired])
        low, high = np.interp(ends, edges, cumulative)
        return float(high - low)


def estimate_neutral(histograms: Maps) -> NeutralEstimate:
    """Estimate the neutral from `colour_histograms`, (N_KINDS, N_WARMTH_BINS, N_DUV_BINS)."""
    seen = network_input(histograms)
    each = [_log_probability(_scores(seen, number)) for number in range(N_NETWORKS)]
    odds = np.exp(np.mean(each, axis=0))
    probability = odds / odds.sum()
    warmth, duv = probability.sum(axis=1), probability.sum(axis=0)
    position = [_median(warmth, WARMTH_BIN_MIRED), _median(duv, DUV_BIN)]
    return NeutralEstimate(np.array(position), warmth)


def network_input(histograms: Maps) -> Maps:
    """Stack presence and area of each kind, and the coordinates of each bin, (rows, columns, C)."""
    shares = histograms.transpose(1, 2, 0)
    rows, columns = np.meshgrid(
        np.linspace(-1, 1, N_WARMTH_BINS), np.linspace(-1, 1, N_DUV_BINS), indexing="ij"
    )
    return np.concatenate(
        [
            shares**PRESENCE_EXPONENT,
            np.minimum(AREA_GAIN * shares, AREA_CEILING),
            np.stack([rows, columns], axis=-1),
        ],
        axis=-1,
        dtype=np.float32,
    )


def _log_probability(scores: Maps) -> NDArray[np.float64]:
    """Log-softmax of the scores over all bins."""
    relative = scores.astype(np.float64) - float(scores.max())
    return relative - float(np.log(np.exp(relative).sum()))


def _edges(n_bins: int, step: float) -> NDArray[np.float64]:
    """Edges of bins whose middle one is centred on 0, (n_bins + 1,)."""
    return step * (np.arange(n_bins + 1, dtype=np.float64) - (n_bins // 2 + 0.5))


def _median(probability: NDArray[np.float64], step: float) -> float:
    """Median of a distribution over bins, interpolated within its bin."""
    cumulative = np.concatenate([[0.0], np.cumsum(probability)])
    return float(np.interp(0.5 * cumulative[-1], cumulative, _edges(len(probability), step)))


@lru_cache(maxsize=1)
def _weights() -> dict[str, Maps]:
    """Kernels (9 * channels in, channels out) and biases, by network number and layer name."""
    stored = files(__package__).joinpath("neutral_networks.npz").read_bytes()
    with np.load(BytesIO(stored), allow_pickle=False) as arrays:
        return {name: arrays[name].astype(np.float32) for name in arrays.files}


def _scores(maps: Maps, number: int) -> Maps:
    """Score each bin with network `number`: encoder, then decoder with skip connections."""
    skips = []
    for level in range(N_LEVELS):
        maps = _convolution_relu(
            f"{number}.down{level}", maps if level == 0 else max_pool_2x2(maps)
        )
        skips.append(maps)
    maps = _convolution_relu(f"{number}.bottom", skips.pop())
    for level in reversed(range(N_LEVELS - 1)):
        both = np.concatenate([upsample_2x(maps), skips.pop()], axis=-1)
        maps = _convolution_relu(f"{number}.up{level}", both)
    return _convolution(f"{number}.scores", maps)[..., 0]


def _convolution(layer: str, maps: Maps) -> Maps:
    return convolve_3x3(maps, _weights()[f"{layer}.kernel"], _weights()[f"{layer}.bias"])


def _convolution_relu(layer: str, maps: Maps) -> Maps:
    return np.maximum(_convolution(layer, maps), 0)
