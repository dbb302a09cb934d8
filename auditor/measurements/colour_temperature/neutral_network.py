"""Where the neutral of a picture lies, as two small networks learnt it from tables of known light.

Colour constancy as the search for a place in a histogram of colours (Barron: Convolutional Color
Constancy, 2015), here by an encoder and decoder with skips (Ronneberger, Fischer, Brox: U-Net,
2015) over the histograms of `colour_histograms`. What it was taught with and how well it does is in
`MODEL.md` beside this file.
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
from auditor.measurements.colour_temperature.layers import Maps, doubled, filtered, halved

PRESENCE_EXPONENT = 0.35
"""Power of a bin's share; between area (1) and mere presence (0)."""

AREA_GAIN, AREA_CEILING = 30.0, 4.0
"""Scale of the plain shares beside it, and where they end."""

SURENESS = 0.75
"""Power of the probabilities by which the chance of an error is told. Of earlier networks, 62 to
67 % were within 15 mired where the plain probabilities said 76 %, on tables of a generator that had
taught them nothing; on dishes by other hands 64 % where they said 66 %. How it fares with today's
is in `MODEL.md`."""

N_LEVELS = 4
N_NETWORKS = 2
"""Taught apart, one with its teachers' own colours and one with colours drawn apart; what both hold
likely is."""


@dataclass(frozen=True, slots=True)
class LikelyNeutral:
    """How likely each place is to be the neutral.

    Attributes
    ----------
    position : (2,) float array
        Median in warmth, in mired relative to D65, and in Duv relative to that of D65.
    warmth_probability : (N_WARMTH_BINS,) float array
        Of each bin of warmth, as far as it is trusted; sums to 1.
    """

    position: NDArray[np.float64]
    warmth_probability: NDArray[np.float64]

    def within(self, reach_mired: float) -> float:
        """Probability that the neutral lies no farther than this from the position."""
        edges = _edges(N_WARMTH_BINS, WARMTH_BIN_MIRED)
        grown = np.concatenate([[0.0], np.cumsum(self.warmth_probability)])
        ends = self.position[0] + np.array([-reach_mired, reach_mired])
        low, high = np.interp(ends, edges, grown)
        return float(high - low)


def likely_neutral(histograms: Maps) -> LikelyNeutral:
    """Tell the neutral from `colour_histograms`."""
    seen = network_input(histograms)
    each = [_log_probability(_scores(seen, number)) for number in range(N_NETWORKS)]
    odds = np.exp(np.mean(each, axis=0))
    probability = odds / odds.sum()
    warmth, duv = probability.sum(axis=1), probability.sum(axis=0)
    position = [_median(warmth, WARMTH_BIN_MIRED), _median(duv, DUV_BIN)]
    trusted = warmth**SURENESS
    return LikelyNeutral(np.array(position), trusted / trusted.sum())


def network_input(histograms: Maps) -> Maps:
    """Presence and area of each kind, and where in the plane a bin lies, (rows, columns, C)."""
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
    relative = scores.astype(np.float64) - float(scores.max())
    return relative - float(np.log(np.exp(relative).sum()))


def _edges(n_bins: int, step: float) -> NDArray[np.float64]:
    """Edges of bins of which the one in the middle is centred on 0."""
    return step * (np.arange(n_bins + 1, dtype=np.float64) - (n_bins // 2 + 0.5))


def _median(probability: NDArray[np.float64], step: float) -> float:
    grown = np.concatenate([[0.0], np.cumsum(probability)])
    return float(np.interp(0.5 * grown[-1], grown, _edges(len(probability), step)))


@lru_cache(maxsize=1)
def _weights() -> dict[str, Maps]:
    """Kernels (9 * channels in, channels out) and biases by number and name of their layer."""
    stored = files(__package__).joinpath("neutral_networks.npz").read_bytes()
    with np.load(BytesIO(stored)) as arrays:
        return {name: arrays[name].astype(np.float32) for name in arrays.files}


def _scores(maps: Maps, number: int) -> Maps:
    """Score of each bin: down through the levels, and up again with what each level kept."""
    kept = []
    for level in range(N_LEVELS):
        maps = _rectified(f"{number}.down{level}", maps if level == 0 else halved(maps))
        kept.append(maps)
    maps = _rectified(f"{number}.bottom", kept.pop())
    for level in reversed(range(N_LEVELS - 1)):
        both = np.concatenate([doubled(maps), kept.pop()], axis=-1)
        maps = _rectified(f"{number}.up{level}", both)
    return _filtered(f"{number}.scores", maps)[..., 0]


def _filtered(layer: str, maps: Maps) -> Maps:
    return filtered(maps, _weights()[f"{layer}.kernel"], _weights()[f"{layer}.bias"])


def _rectified(layer: str, maps: Maps) -> Maps:
    return np.maximum(_filtered(layer, maps), 0)
