"""Differences of white and of exposure between two pictures, by the colours that both show."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

import numpy as np
from numpy.typing import NDArray
from scipy.fft import fftn, irfft, next_fast_len, rfft

from auditor.colour_signature.signature import (
    N_DUV_BINS,
    N_STEPS_EV,
    N_WARMTH_BINS,
    STEP_EV,
    WARMTH_BIN_MIRED,
    ColourSignature,
)
from auditor.series.colour.smoothing import smooth
from auditor.series.statistics.parabola import vertex

# Grain and fall-off of light spread one surface over about a bin to either side.
SMOOTHING_BINS = (1.0, 0.8, 1.2)
FARTHEST_MIRED = 120.0  # from shade to lamp light: no set has a larger difference
FARTHEST_STEPS_EV = 4  # two stops: no set is corrected so unevenly
FARTHEST_DUV_BINS = 1  # lights differ along the Planckian locus far more than across it
# Small changes are more probable than large ones: of two shifts with the same similarity the
# smaller one wins.
EXPECTED_MIRED = 200.0
COST_OF_STEP = 0.03

Spectrum = NDArray[np.complex64]


@dataclass(frozen=True, slots=True)
class Comparison:
    """The second picture compared with the first.

    Attributes
    ----------
    warmer : float
        How much warmer the second is, along the plane of neutrals, where a change of white moves
        all colours by one distance; `mired_from_warmth` converts it to mired.
    brighter_ev : float
        How much brighter the second is.
    similarity : float
        In [0, 1]: how much of their colours is the same after the shift (Bhattacharyya
        coefficient).
    """

    warmer: float
    brighter_ev: float
    similarity: float


def spectrum(signature: ColourSignature) -> Spectrum:
    """The form of a signature that `compare` needs: (steps, tints, frequencies)."""
    smoothed = smooth(signature.histogram(), SMOOTHING_BINS, ("reflect",) * 3)
    root = np.sqrt(smoothed / np.float32(max(float(smoothed.sum()), 1e-12)))
    whole: Spectrum = fftn(rfft(root, axis=-1), s=_padded(), axes=(0, 1), overwrite_x=True)
    return whole


def compare(first: Spectrum, second: Spectrum) -> Comparison:
    """Shift the colours of one picture in every allowed way, and keep the best match."""
    steps, shifts, preference = _allowed_shifts()
    n_tints = 2 * FARTHEST_DUV_BINS + 1
    by_step, by_tint = _inverse_transforms()
    # Along one axis after the other: the tints of each step first.
    product = np.matmul(by_tint, np.conj(first) * second)
    product = by_step @ product.reshape(len(product), -1)
    overlap = irfft(product.reshape(len(steps) * n_tints, -1), n=N_WARMTH_BINS, axis=-1)[:, shifts]
    score = overlap.reshape(len(steps), n_tints, len(shifts)) * preference
    step, tint, shift = np.unravel_index(int(score.argmax()), score.shape)
    similarity = float(score[step, tint, shift])
    if similarity <= 0:
        return Comparison(0.0, 0.0, 0.0)
    warmer = shifts[shift] + vertex(score[step, tint], int(shift))
    brighter = steps[step] + vertex(score[:, tint, shift], int(step))
    return Comparison(
        float(warmer * WARMTH_BIN_MIRED), float(brighter * STEP_EV), min(1.0, similarity)
    )


def _padded() -> tuple[int, int]:
    """Sizes of steps and tints with enough room that no allowed shift wraps around."""
    return (
        next_fast_len(N_STEPS_EV + FARTHEST_STEPS_EV),
        next_fast_len(N_DUV_BINS + FARTHEST_DUV_BINS),
    )


@cache
def _inverse_transforms() -> tuple[Spectrum, Spectrum]:
    """Inverse Fourier transforms at the allowed steps and tints: (shifts, frequencies) each."""
    by_step, by_tint = (
        np.exp(
            2j * np.pi * np.arange(-farthest, farthest + 1)[:, np.newaxis] * np.arange(n) / n
        ).astype(np.complex64)
        / np.float32(n)
        for n, farthest in zip(_padded(), (FARTHEST_STEPS_EV, FARTHEST_DUV_BINS), strict=True)
    )
    return by_step, by_tint


@cache
def _allowed_shifts() -> tuple[NDArray[np.intp], NDArray[np.intp], NDArray[np.float64]]:
    """Steps, shifts in warmth, and a factor (steps, 1, shifts) that favours small shifts."""
    steps = np.arange(-FARTHEST_STEPS_EV, FARTHEST_STEPS_EV + 1)
    reach = int(FARTHEST_MIRED / WARMTH_BIN_MIRED)
    shifts = np.arange(-reach, reach + 1)
    by_shift = np.exp(-0.5 * (shifts * WARMTH_BIN_MIRED / EXPECTED_MIRED) ** 2)
    by_step = 1 - COST_OF_STEP * np.abs(steps)
    return steps, shifts, by_step[:, np.newaxis, np.newaxis] * by_shift
