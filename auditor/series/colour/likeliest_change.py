"""Which change of one picture makes it most like the others.

The density of a picture is correlated with the logarithm of what the others show: the shift with
the greatest sum is the change that makes its colours most likely when it is undone.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.fft import irfftn, next_fast_len, rfftn

from auditor.colour_signature.signature import ColourSignature
from auditor.series.colour.smoothing import Mode
from auditor.series.statistics.parabola import vertex

Density = NDArray[np.float32]

FOREIGN_SHARE = 0.05  # assumed share of a picture in colours that no other picture has (no source)
FARTHEST_STEPS_EV = 2
FARTHEST_ACROSS_BINS = 1  # in Duv or hue, which hardly change
# A change of the expected size costs half of this, one of twice that size four times as much: small
# changes are more probable than large ones (no source).
COST_OF_CHANGE = 0.3  # in the logarithm of the likelihood of an average cell
# If undoing a change makes an average cell less likely by this much, the change did not happen: of
# 40 pictures with half their saturation none lost more than 1.0; of 4 pictures that only showed
# paler things three lost 1.7 or more (rendered sets of the teaching family, photographs of one
# look).
CONTRADICTED_GAIN = -1.2
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
class KindOfChange:
    """One kind of change, which moves a density along its last axis.

    Attributes
    ----------
    unit : float
        Of one cell of that axis.
    reach : int
        Largest shift, in cells.
    expected : float
        Size of a change that costs half of `COST_OF_CHANGE`.
    shape : tuple of int
        Of its histogram.
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
    shape: tuple[int, int, int]
    is_round: bool
    histogram: Callable[[ColourSignature], Density]
    smoothing_bins: tuple[float, float, float]

    @property
    def modes(self) -> tuple[Mode, Mode, Mode]:
        """What is beyond the ends of each axis, for `smooth`."""
        return ("constant", "wrap" if self.is_round else "constant", "constant")


def likeliest_change(
    own: Density, together: Density, n_others: int, kind: KindOfChange
) -> LikeliestChange:
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


def _filled_box(own: Density, kind: KindOfChange) -> tuple[slice, ...]:
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
