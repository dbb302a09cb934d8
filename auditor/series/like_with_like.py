"""Two pictures laid over each other: how far apart their light is, by what both of them show."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.ndimage import gaussian_filter

from auditor.measurements.colour_temperature.signature import (
    N_WARMTH_BINS,
    WARMTH_BIN_MIRED,
    ColourSignature,
)

Spectrum = NDArray[np.complex128]

# Grain and fall-off spread one surface over about a bin to either side.
SMOOTHING_BINS = (1.0, 0.8, 1.2)
FARTHEST_MIRED = 120.0  # from shade to lamp light; farther apart nobody takes two for one set
FARTHEST_STEPS_EV = 2
FARTHEST_DUV_BINS = 1  # lights differ along the Planckian locus far more than across it
# A likely match needs no far-fetched change: what is as alike but nearer wins.
EXPECTED_MIRED = 200.0
COST_OF_STEP = 0.03
EMPTY = 0.01  # sum of roots of shares, of about 5 in all, below which a row is as good as empty


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
    return np.asarray(np.fft.rfft(np.sqrt(smooth / max(float(smooth.sum()), 1e-12)), axis=-1))


def compare(first: Spectrum, second: Spectrum) -> Comparison:
    """Lay one picture over the other in every way allowed, and keep the way they match best."""
    reach = int(FARTHEST_MIRED / WARMTH_BIN_MIRED)
    shift = np.arange(-reach, reach + 1)
    prior = np.exp(-0.5 * (shift * WARMTH_BIN_MIRED / EXPECTED_MIRED) ** 2)
    # Of most lightnesses and tints a picture has nothing: they need not be multiplied.
    steps, tints = np.nonzero(np.abs(first[..., 0]) > EMPTY)
    held = np.conj(first[steps, tints])
    best = Comparison(0.0, 0.0)
    for step in range(-FARTHEST_STEPS_EV, FARTHEST_STEPS_EV + 1):
        for tint in range(-FARTHEST_DUV_BINS, FARTHEST_DUV_BINS + 1):
            product = _product(held, second, steps + step, tints + tint)
            alike = np.fft.irfft(product, n=N_WARMTH_BINS)[shift]
            score = alike * prior * (1 - COST_OF_STEP * abs(step))
            top = int(score.argmax())
            if score[top] > best.likeness:
                at = shift[top] + _vertex(score, top)
                best = Comparison(float(at * WARMTH_BIN_MIRED), float(min(1.0, score[top])))
    return best


def _product(
    held: Spectrum, second: Spectrum, steps: NDArray[np.intp], tints: NDArray[np.intp]
) -> Spectrum:
    """What the second holds at these lightnesses and tints, times what the first held."""
    n_steps, n_tints = second.shape[:2]
    inside = (steps >= 0) & (steps < n_steps) & (tints >= 0) & (tints < n_tints)
    other = second[steps[inside], tints[inside]]
    return np.asarray(np.einsum("kw,kw->w", held[inside], other))


def _vertex(values: NDArray[np.float64], at: int) -> float:
    """Where the parabola through three values has its top, relative to `at`."""
    if not 0 < at < len(values) - 1:
        return 0.0
    before, here, after = values[at - 1 : at + 2]
    bend = before - 2 * here + after
    return float((before - after) / (2 * bend)) if bend < 0 else 0.0
