"""Two pictures laid over each other: how far apart their light is, by what both of them show."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

import numpy as np
from numpy.typing import NDArray
from scipy.fft import fftn, irfft, next_fast_len
from scipy.ndimage import gaussian_filter

from auditor.colour_signature.signature import (
    N_DUV_BINS,
    N_STEPS_EV,
    N_WARMTH_BINS,
    WARMTH_BIN_MIRED,
    ColourSignature,
)

Spectrum = NDArray[np.complex64]

# Grain and fall-off spread one surface over about a bin to either side.
SMOOTHING_BINS = (1.0, 0.8, 1.2)
FARTHEST_MIRED = 120.0  # from shade to lamp light; farther apart nobody takes two for one set
FARTHEST_STEPS_EV = 2
FARTHEST_DUV_BINS = 1  # lights differ along the Planckian locus far more than across it
# A likely match needs no far-fetched change: what is as alike but nearer wins.
EXPECTED_MIRED = 200.0
COST_OF_STEP = 0.03


@dataclass(frozen=True, slots=True)
class Comparison:
    """The second picture against the first.

    Attributes
    ----------
    warmer : float
        How much warmer its light is, along the plane of neutrals, where every light moves alike;
        `mired_from_warmth` has its mired.
    likeness : float
        In [0, 1]: how much of what they show is the same, once moved (Bhattacharyya coefficient).
    """

    warmer: float
    likeness: float


def spectrum(signature: ColourSignature) -> Spectrum:
    """What `compare` needs of a picture, made once."""
    smooth = gaussian_filter(signature.histogram(), SMOOTHING_BINS)
    root = np.sqrt(smooth / max(float(smooth.sum()), 1e-12))
    half = np.fft.rfft(root, axis=-1)
    whole = fftn(half, s=_padded(), axes=(0, 1))
    return np.ascontiguousarray(whole.reshape(-1, half.shape[-1]), dtype=np.complex64)


def compare(first: Spectrum, second: Spectrum) -> Comparison:
    """Lay one picture over the other in every way allowed, and keep the way they match best."""
    steps, shifts, cost = _ways()
    n_tints = 2 * FARTHEST_DUV_BINS + 1
    product = _lags() @ (np.conj(first) * second)
    alike = irfft(product, n=N_WARMTH_BINS, axis=-1)[:, shifts]
    score = alike.reshape(len(steps), n_tints, len(shifts)) * cost
    step, tint, shift = np.unravel_index(int(score.argmax()), score.shape)
    likeness = float(score[step, tint, shift])
    if likeness <= 0:
        return Comparison(0.0, 0.0)
    warmer = shifts[shift] + vertex(score[step, tint], int(shift))
    return Comparison(float(warmer * WARMTH_BIN_MIRED), min(1.0, likeness))


def _padded() -> tuple[int, int]:
    """Sizes at which no way of laying one over the other comes in again from the far side."""
    return (
        next_fast_len(N_STEPS_EV + FARTHEST_STEPS_EV),
        next_fast_len(N_DUV_BINS + FARTHEST_DUV_BINS),
    )


@cache
def _lags() -> Spectrum:
    """Inverse Fourier transform at the steps and tints allowed, (steps * tints, frequencies)."""
    shares = []
    for n, farthest in zip(_padded(), (FARTHEST_STEPS_EV, FARTHEST_DUV_BINS), strict=True):
        lag = np.arange(-farthest, farthest + 1)[:, np.newaxis]
        shares.append(np.exp(2j * np.pi * lag * np.arange(n) / n) / n)
    return np.kron(*shares).astype(np.complex64)


@cache
def _ways() -> tuple[NDArray[np.intp], NDArray[np.intp], NDArray[np.float64]]:
    """Steps, shifts in warmth, and the factor (steps, 1, shifts) for how far-fetched each is."""
    steps = np.arange(-FARTHEST_STEPS_EV, FARTHEST_STEPS_EV + 1)
    reach = int(FARTHEST_MIRED / WARMTH_BIN_MIRED)
    shifts = np.arange(-reach, reach + 1)
    prior = np.exp(-0.5 * (shifts * WARMTH_BIN_MIRED / EXPECTED_MIRED) ** 2)
    cost = 1 - COST_OF_STEP * np.abs(steps)
    return steps, shifts, cost[:, np.newaxis, np.newaxis] * prior


def vertex(values: NDArray[np.floating], at: int) -> float:
    """Where the parabola through three values has its top, relative to `at`."""
    if not 0 < at < len(values) - 1:
        return 0.0
    before, here, after = (float(value) for value in values[at - 1 : at + 2])
    bend = before - 2 * here + after
    return (before - after) / (2 * bend) if bend < 0 else 0.0
