"""Each picture against what all the others show together: under which change is it likeliest.

Two pictures of one table may share a corner of cloth or nothing. What the others show together is
more: every plate and every food of the menu in its colours. Taken as a density, it says how likely
the colours of one more picture are; and where the picture was developed differently, how much
likelier all of them become at once when they are moved back. A food that nobody else has is as
unlikely as before, wherever it is moved.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache

import numpy as np
from numpy.typing import NDArray
from scipy.fft import irfftn, next_fast_len, rfftn
from scipy.ndimage import gaussian_filter

from auditor.colour_signature.neutral_plane import cone_ratios_from_plane
from auditor.colour_signature.signature import (
    DUV_BIN,
    N_DUV_BINS,
    N_STEPS_EV,
    N_WARMTH_BINS,
    SHAPE,
    WARMTH_BIN_MIRED,
    ColourSignature,
)
from auditor.series.white_balance.pairwise_white_shift import vertex

Density = NDArray[np.float32]

# Hue around the neutral and the binary logarithm of the distance from it: what desaturation moves.
N_HUES = 24
N_STRENGTHS, STRENGTHS_PER_OCTAVE = 48, 8
WEAKEST_MIRED = 8.0  # as far from neutral as grain carries a grey
SMOOTHING_BINS = (1.0, 0.8, 1.2)  # grain and fall-off spread one surface over about a bin
SMOOTHING_STRENGTH_BINS = (1.0, 1.0, 1.5)

FOREIGN_SHARE = 0.05  # of any picture may be of a colour that no other has (no source)
FARTHEST_STEPS_EV = 2
FARTHEST_ACROSS_BINS = 1  # in Duv or hue, which hardly change
# A likely change is not far-fetched: this one costs half of `COST_OF_CHANGE`, twice as much four
# times that (no source).
EXPECTED_MIRED, EXPECTED_OCTAVES = 40.0, 1.0
COST_OF_CHANGE = 0.3  # in the logarithm of likelihood of an average cell
# A change that would make an average cell less likely by so much, undone, did not happen: of 40
# pictures with half their saturation none lost more than 1.0, of 4 that were only paler in what
# they show three lost 1.7 or more (rendered sets of the teaching family, photographs of one look).
CONTRADICTED_GAIN = -1.2


@dataclass(frozen=True, slots=True)
class LikeliestChange:
    """How one picture differs from what the others show.

    Attributes
    ----------
    amount : float
        Warmer, along the plane of neutrals, or more saturated, in octaves.
    gain : float
        By how much the logarithm of the likelihood of an average cell is higher once that is
        undone, less what such a change costs; at least 0.
    amounts, gains : tuple of float
        The same for every amount that was tried, in order; negative where the picture is less
        likely with that undone than as it is.
    """

    amount: float
    gain: float
    amounts: tuple[float, ...]
    gains: tuple[float, ...]

    def contradicts(self, amount: float) -> bool:
        """Whether the picture, were it changed by so much, would be unlike the others undone."""
        return float(np.interp(amount, self.amounts, self.gains)) < CONTRADICTED_GAIN


@dataclass(frozen=True, slots=True)
class _Kind:
    """One kind of change: the last axis of the density is that along which it moves."""

    unit: float
    reach: int
    expected: float
    is_round: bool  # whether the middle axis is a circle


_WARMTH = _Kind(WARMTH_BIN_MIRED, 20, EXPECTED_MIRED, is_round=False)
_STRENGTH = _Kind(1 / STRENGTHS_PER_OCTAVE, 14, EXPECTED_OCTAVES, is_round=True)


def changes_of_white(signatures: Sequence[ColourSignature]) -> list[LikeliestChange]:
    """For each of two or more pictures how much warmer than the others it is."""
    densities = [
        _normalised(gaussian_filter(s.histogram(), SMOOTHING_BINS, mode="constant"))
        for s in signatures
    ]
    return _changes(densities, _WARMTH)


def changes_of_saturation(signatures: Sequence[ColourSignature]) -> list[LikeliestChange]:
    """For each of two or more pictures how much more saturated than the others it is."""
    return _changes([_strengths(signature) for signature in signatures], _STRENGTH)


def _strengths(signature: ColourSignature) -> Density:
    """Density of lightness, hue and strength; strong colours tell most of a change of strength."""
    shape = (N_STEPS_EV, N_HUES, N_STRENGTHS)
    into, strength = _strength_bins()
    bins = np.asarray(signature.bins, dtype=np.intp)
    weights = np.asarray(signature.weights, dtype=np.float64)
    held = into[bins] >= 0
    flat = np.bincount(
        into[bins][held], weights[held] * strength[bins][held], minlength=int(np.prod(shape))
    )
    smooth = gaussian_filter(
        flat.reshape(shape), SMOOTHING_STRENGTH_BINS, mode=["constant", "wrap", "constant"]
    )
    return _normalised(smooth)


@cache
def _strength_bins() -> tuple[NDArray[np.intp], NDArray[np.float64]]:
    """For each bin of a signature its bin of hue and strength, or -1, and its strength in mired."""
    step, duv, warmth = np.unravel_index(np.arange(int(np.prod(SHAPE))), SHAPE)
    plane = np.stack(
        [
            (warmth - N_WARMTH_BINS // 2) * WARMTH_BIN_MIRED,
            (duv - N_DUV_BINS // 2) * DUV_BIN,
        ],
        axis=-1,
    )
    ratios = cone_ratios_from_plane(plane)
    mired = np.linalg.norm(cone_ratios_from_plane(np.array([1.0, 0.0])))
    strength = np.linalg.norm(ratios, axis=-1) / mired
    hue = np.rint(np.arctan2(ratios[:, 1], ratios[:, 0]) / (2 * np.pi) * N_HUES).astype(np.intp)
    octave = np.log2(np.maximum(strength, 1e-3) / WEAKEST_MIRED)
    level = np.rint(octave * STRENGTHS_PER_OCTAVE).astype(np.intp)
    place = (step * N_HUES + hue % N_HUES) * N_STRENGTHS + level
    return np.where((level >= 0) & (level < N_STRENGTHS), place, -1), strength


def _normalised(histogram: NDArray[np.floating]) -> Density:
    return np.asarray(histogram / max(float(histogram.sum()), 1e-12), dtype=np.float32)


def _changes(densities: Sequence[Density], kind: _Kind) -> list[LikeliestChange]:
    together = np.sum(densities, axis=0, dtype=np.float64)
    n_others = max(1, len(densities) - 1)
    return [_change(own, (together - own) / n_others, kind) for own in densities]


def _change(own: Density, others: NDArray[np.float64], kind: _Kind) -> LikeliestChange:
    """Correlate a picture with the logarithm of what the others show, and take the best move."""
    even = FOREIGN_SHARE / others.size
    likelihood = np.log(np.maximum(others, 0) * (1 - FOREIGN_SHARE) + even) - np.log(even)
    lags = [
        np.arange(-farthest, farthest + 1)
        for farthest in (FARTHEST_STEPS_EV, FARTHEST_ACROSS_BINS, kind.reach)
    ]
    shape = [
        n if kind.is_round and axis == 1 else next_fast_len(n + int(lags[axis][-1]), real=True)
        for axis, n in enumerate(own.shape)
    ]
    product = np.conj(rfftn(likelihood.astype(np.float32), shape)) * rfftn(own, shape)
    score = irfftn(product, shape)[np.ix_(*lags)]
    best = score.max(axis=(0, 1)) - COST_OF_CHANGE / 2 * (lags[2] * kind.unit / kind.expected) ** 2
    top = int(best.argmax())
    amount = (lags[2][top] + vertex(best, top)) * kind.unit
    gains = best - best[kind.reach]
    if top in (0, best.size - 1):  # farther than was looked: no change of such a kind
        gains = np.minimum(gains, 0.0)
    amounts = tuple((lags[2] * kind.unit).tolist())
    return LikeliestChange(float(amount), float(gains[top]), amounts, tuple(gains.tolist()))
