"""Each picture compared with all others together: which change makes it most likely.

Two pictures of one table may have a corner of cloth in common, or nothing. All other pictures
together show more: every plate and every food of the menu in its colours. Taken as a density, they
say how likely the colours of one more picture are. If that picture was developed differently, all
its colours become more likely at once when the change is undone. A food that no other picture shows
stays unlikely whatever change is undone.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache

import numpy as np
from numpy.typing import NDArray
from scipy.fft import irfftn, next_fast_len, rfftn

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
from auditor.series.colour.smoothing import Mode, smooth
from auditor.series.statistics.parabola import vertex

Density = NDArray[np.float32]

# Hue around neutral, and the binary logarithm of the distance from it, which desaturation changes.
N_HUES = 24
N_STRENGTHS, STRENGTHS_PER_OCTAVE = 48, 8
WEAKEST_MIRED = 8.0  # grain moves a grey about as far from neutral
SMOOTHING_BINS = (1.0, 0.8, 1.2)  # grain and fall-off spread one surface over about a bin
SMOOTHING_STRENGTH_BINS = (1.0, 1.0, 1.5)

FOREIGN_SHARE = 0.05  # assumed share of a picture in colours that no other picture has (no source)
FARTHEST_STEPS_EV = 2
FARTHEST_ACROSS_BINS = 1  # in Duv or hue, which hardly change
# Small changes are more probable than large ones: a change of this size costs half of
# `COST_OF_CHANGE`, a change of twice this size four times as much (no source).
EXPECTED_MIRED, EXPECTED_OCTAVES = 40.0, 1.0
COST_OF_CHANGE = 0.3  # in the logarithm of the likelihood of an average cell
# If undoing a change makes an average cell less likely by this much, the change did not happen: of
# 40 pictures with half their saturation none lost more than 1.0; of 4 pictures that only showed
# paler things three lost 1.7 or more (rendered sets of the teaching family, photographs of one
# look).
CONTRADICTED_GAIN = -1.2


@dataclass(frozen=True, slots=True)
class LikeliestChange:
    """How one picture differs from what the others show.

    Attributes
    ----------
    amount : float
        Of the likeliest change: how much warmer, along the plane of neutrals, or how many octaves
        more saturated the picture is.
    gain : float
        Rise of the logarithm of the likelihood of an average cell when that change is undone, less
        the cost of the change; at least 0.
    amounts, gains : tuple of float
        The same for every amount that was tried, in order; negative if the picture is less likely
        when that amount is undone.
    """

    amount: float
    gain: float
    amounts: tuple[float, ...]
    gains: tuple[float, ...]

    def contradicts(self, amount: float) -> bool:
        """Whether the picture would be unlike the others if such a change were undone."""
        return float(np.interp(amount, self.amounts, self.gains)) < CONTRADICTED_GAIN


@dataclass(frozen=True, slots=True)
class _Kind:
    """One kind of change, which moves a density along its last axis.

    Attributes
    ----------
    unit : float
        Of one cell of that axis.
    reach : int
        Largest shift, in cells.
    expected : float
        Size of a change that costs half of `COST_OF_CHANGE`.
    is_round : bool
        Whether the middle axis is a circle.
    """

    unit: float
    reach: int
    expected: float
    is_round: bool


_WARMTH = _Kind(WARMTH_BIN_MIRED, 20, EXPECTED_MIRED, is_round=False)
_STRENGTH = _Kind(1 / STRENGTHS_PER_OCTAVE, 14, EXPECTED_OCTAVES, is_round=True)


def changes_of_white(signatures: Sequence[ColourSignature]) -> list[LikeliestChange]:
    """How much warmer each of two or more pictures is than the others."""
    densities = [
        _normalised(smooth(signature.histogram(), SMOOTHING_BINS, ("constant",) * 3))
        for signature in signatures
    ]
    return _changes(densities, _WARMTH)


def changes_of_saturation(signatures: Sequence[ColourSignature]) -> list[LikeliestChange]:
    """How much more saturated each of two or more pictures is than the others."""
    return _changes([_strengths(signature) for signature in signatures], _STRENGTH)


def _strengths(signature: ColourSignature) -> Density:
    """Density of lightness, hue and strength, weighted by strength.

    A change of strength shows most in strong colours.
    """
    shape = (N_STEPS_EV, N_HUES, N_STRENGTHS)
    into, strength = _strength_bins()
    bins = np.asarray(signature.bins, dtype=np.intp)
    weights = np.asarray(signature.weights, dtype=np.float64)
    held = into[bins] >= 0
    flat = np.bincount(
        into[bins][held], weights[held] * strength[bins][held], minlength=int(np.prod(shape))
    )
    modes: tuple[Mode, ...] = ("constant", "wrap", "constant")
    histogram = np.asarray(flat, dtype=np.float64).reshape(shape)
    return _normalised(smooth(histogram, SMOOTHING_STRENGTH_BINS, modes))


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
    together = np.zeros(densities[0].shape)
    for density in densities:
        together += density
    n_others = max(1, len(densities) - 1)
    return [_change(own, (together - own) / n_others, kind) for own in densities]


def _change(own: Density, others: NDArray[np.float64], kind: _Kind) -> LikeliestChange:
    """Correlate a picture with the logarithm of what the others show, and take the best shift."""
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
    shifts = lags[2] * kind.unit
    best = score.max(axis=(0, 1)) - COST_OF_CHANGE / 2 * (shifts / kind.expected) ** 2
    top = int(best.argmax())
    amount = (lags[2][top] + vertex(best, top)) * kind.unit
    gains = best - best[kind.reach]
    if top in (0, best.size - 1):  # the maximum lies farther away: not a change of this kind
        gains = np.minimum(gains, 0.0)
    return LikeliestChange(
        float(amount), float(gains[top]), tuple(shifts.tolist()), tuple(gains.tolist())
    )
