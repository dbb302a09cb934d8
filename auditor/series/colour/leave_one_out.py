"""Each picture compared with all others together: which change makes it most likely.

Two pictures of one table may have a corner of cloth in common, or nothing. All other pictures
together show more: every plate and every food of the menu in its colours. Taken as a density, they
say how likely the colours of one more picture are. If that picture was developed differently, all
its colours become more likely at once when the change is undone. A food that no other picture shows
stays unlikely whatever change is undone.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
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
LEAST_WEIGHT = 1e-12  # keeps a quotient finite where a picture has no usable colour
# Of what all pictures have in a bin: less than this without the picture is a rounding error of 32
# bits.
ROUNDING = np.float32(3e-6)


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
    histogram : callable
        Makes the histogram in which the change is seen.
    smoothing_bins : tuple of float
        Standard deviation of its smoothing along each axis.
    """

    unit: float
    reach: int
    expected: float
    is_round: bool
    histogram: Callable[[ColourSignature], Density]
    smoothing_bins: tuple[float, float, float]

    @property
    def modes(self) -> tuple[Mode, Mode, Mode]:
        """What is beyond the ends of each axis, for `smooth`."""
        return ("constant", "wrap" if self.is_round else "constant", "constant")


def changes_of_white(
    signatures: Sequence[ColourSignature], asked: Sequence[int] | None = None
) -> list[LikeliestChange]:
    """How much warmer each of two or more pictures is than the others.

    Parameters
    ----------
    signatures : sequence of ColourSignature
        Of all pictures.
    asked : sequence of int or None
        The pictures that are asked for, by their places; None for all.
    """
    return _changes(signatures, _WARMTH, range(len(signatures)) if asked is None else asked)


def changes_of_saturation(signatures: Sequence[ColourSignature]) -> list[LikeliestChange]:
    """How much more saturated each of two or more pictures is than the others."""
    return _changes(signatures, _STRENGTH, range(len(signatures)))


def _strengths(signature: ColourSignature) -> Density:
    """Histogram of lightness, hue and strength, weighted by strength.

    A change of strength shows most in strong colours.
    """
    shape = (N_STEPS_EV, N_HUES, N_STRENGTHS)
    into, strength = _strength_bins()
    bins, weights = signature.bins, signature.weights
    held = into[bins] >= 0
    flat = np.bincount(
        into[bins][held], weights[held] * strength[bins][held], minlength=int(np.prod(shape))
    )
    return np.asarray(flat, dtype=np.float32).reshape(shape)


_WARMTH = _Kind(
    WARMTH_BIN_MIRED,
    20,
    EXPECTED_MIRED,
    is_round=False,
    histogram=ColourSignature.histogram,
    smoothing_bins=SMOOTHING_BINS,
)
_STRENGTH = _Kind(
    1 / STRENGTHS_PER_OCTAVE,
    14,
    EXPECTED_OCTAVES,
    is_round=True,
    histogram=_strengths,
    smoothing_bins=SMOOTHING_STRENGTH_BINS,
)


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


def _changes(
    signatures: Sequence[ColourSignature], kind: _Kind, asked: Sequence[int]
) -> list[LikeliestChange]:
    """The changes of the pictures at the places that are asked for.

    One density is held at a time, besides that of all pictures together.

    Smoothing is linear: smoothed together, the pictures need not all be smoothed twice.
    """
    bare = kind.histogram(signatures[0])
    kept = _kept_by_smoothing(bare.shape, kind)
    together = np.zeros(bare.shape)
    for signature in signatures:
        bare = kind.histogram(signature)
        together += bare / max(float((bare * kept).sum()), LEAST_WEIGHT)
    whole = smooth(together.astype(np.float32), kind.smoothing_bins, kind.modes)
    n_others = max(1, len(signatures) - 1)
    found = []
    for place in asked:
        smoothed = smooth(kind.histogram(signatures[place]), kind.smoothing_bins, kind.modes)
        own = smoothed / np.float32(max(float(smoothed.sum()), LEAST_WEIGHT))
        found.append(_change(own, whole, n_others, kind))
    return found


def _kept_by_smoothing(shape: tuple[int, ...], kind: _Kind) -> Density:
    """How much of the weight of each bin smoothing keeps inside the histogram."""
    # Smoothing is symmetric: what a bin receives from ones everywhere is what it gives.
    return smooth(np.ones(shape, dtype=np.float32), kind.smoothing_bins, kind.modes)


def _change(own: Density, together: Density, n_others: int, kind: _Kind) -> LikeliestChange:
    """Correlate a picture with the logarithm of what the others show, and take the best shift.

    Only the part of the histogram in which the picture has colours is looked at, with room for the
    shifts.
    """
    even = np.float32(FOREIGN_SHARE / own.size)
    reach = (FARTHEST_STEPS_EV, FARTHEST_ACROSS_BINS, kind.reach)
    lags = [np.arange(-farthest, farthest + 1) for farthest in reach]
    rooms = [0 if kind.is_round and axis == 1 else reach[axis] for axis in range(own.ndim)]
    box = _filled_box(own, kind)
    own_part = _with_room(own, box, rooms, widened=False)
    all_part = _with_room(together, box, rooms, widened=True)
    others = all_part - own_part
    others[others < ROUNDING * all_part] = 0  # only this picture has these colours
    likelihood = np.log(others * np.float32((1 - FOREIGN_SHARE) / n_others / even) + np.float32(1))
    shape = [
        size if kind.is_round and axis == 1 else next_fast_len(size, real=True)
        for axis, size in enumerate(own_part.shape)
    ]
    product = np.conj(rfftn(likelihood, shape)) * rfftn(own_part, shape)
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


def _filled_box(own: Density, kind: _Kind) -> tuple[slice, ...]:
    """The smallest box that holds all colours of a picture; all of an axis that is a circle."""
    slices = []
    for axis, size in enumerate(own.shape):
        others = tuple(other for other in range(own.ndim) if other != axis)
        filled = np.flatnonzero(own.any(axis=others))
        is_whole = filled.size == 0 or (kind.is_round and axis == 1)
        slices.append(slice(0, size) if is_whole else slice(int(filled[0]), int(filled[-1]) + 1))
    return tuple(slices)


def _with_room(
    values: Density, box: tuple[slice, ...], rooms: Sequence[int], *, widened: bool
) -> Density:
    """A box of values with room on both sides of each axis.

    Parameters
    ----------
    values : (L, M, N) float32 array
    box : tuple of slice
    rooms : sequence of int
        Of each axis.
    widened : bool
        Whether the room shows what is there; it is empty otherwise, and beyond the ends.
    """
    shape = [one.stop - one.start + 2 * room for one, room in zip(box, rooms, strict=True)]
    part = np.zeros(shape, dtype=np.float32)
    source, target = [], []
    for one, room, size in zip(box, rooms, values.shape, strict=True):
        more = room if widened else 0
        start, stop = max(0, one.start - more), min(size, one.stop + more)
        source.append(slice(start, stop))
        target.append(slice(start - one.start + room, stop - one.start + room))
    part[tuple(target)] = values[tuple(source)]
    return part
