"""A histogram of a picture's colours and lightness, for comparing two pictures of one set.

A change of white shifts all colours of a picture by one vector in the plane of neutrals; a change
of exposure shifts them along the scale of lightness. Two pictures of one table therefore have the
same pattern, shifted. The shift is found by aligning the two patterns, even where neither picture
shows a neutral.
"""

from __future__ import annotations

import base64
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from auditor.colorimetry import XYZ_FROM_LINEAR
from auditor.colour_signature.neutral_plane import Cells

N_STEPS_EV = 13
STEP_EV = 0.5
DARKEST_EV = -6.0  # relative to white; the first bin holds everything darker
N_DUV_BINS, DUV_BIN = 32, 0.0024
N_WARMTH_BINS, WARMTH_BIN_MIRED = 160, 5.0
SHAPE = (N_STEPS_EV, N_DUV_BINS, N_WARMTH_BINS)
OCCUPIED_WEIGHT = 0.3  # of a cell on a dish: dishes change from picture to picture, the table stays
FULL_WEIGHT = 10  # of any other cell; integer weights keep the stored signature short


_STORED = np.dtype("<u4")


@dataclass(frozen=True, slots=True)
class ColourSignature:
    """Sparse histogram of lightness, Duv and warmth.

    A picture has about 2000 bins: as text they weigh a tenth of what tuples of numbers would.

    Attributes
    ----------
    packed : str
        The flat indices of the bins that are not empty, in an array of `SHAPE`, ascending, and then
        the weight of each: whole numbers of 32 bits in base 64. `of` makes it.
    """

    packed: str

    @classmethod
    def of(cls, bins: ArrayLike, weights: ArrayLike) -> ColourSignature:
        """Pack (N,) bins, ascending, and their (N,) weights, both whole and at least 0."""
        both = np.concatenate([np.asarray(bins), np.asarray(weights)]).astype(_STORED)
        return cls(base64.b64encode(both.tobytes()).decode("ascii"))

    def counts(self) -> tuple[NDArray[np.intp], NDArray[np.float64]]:
        """Flat indices (N,) of the bins that are not empty, and the weight (N,) of each."""
        bins, weights = self._halves()
        return bins.astype(np.intp), weights.astype(np.float64)

    def histogram(self) -> NDArray[np.float32]:
        """The dense histogram, an array of `SHAPE` that sums to 1, or to 0 if it is empty."""
        bins, weights = self._halves()
        flat = np.zeros(int(np.prod(SHAPE)), dtype=np.float32)
        flat[bins] = weights / max(float(weights.sum()), 1.0)
        return flat.reshape(SHAPE)

    def _halves(self) -> NDArray[np.uint32]:
        return np.frombuffer(base64.b64decode(self.packed), dtype=_STORED).reshape(2, -1)


def colour_signature(cells: Cells) -> ColourSignature:
    """Compute the colour signature of a picture from its usable cells."""
    light = cells.light[cells.usable] @ XYZ_FROM_LINEAR[1]
    steps = np.floor((np.log2(np.maximum(light, 2.0 ** (2 * DARKEST_EV))) - DARKEST_EV) / STEP_EV)
    warmth = np.rint(cells.plane[:, 0] / WARMTH_BIN_MIRED) + N_WARMTH_BINS // 2
    duv = np.rint(cells.plane[:, 1] / DUV_BIN) + N_DUV_BINS // 2
    # Colours outside the histogram are saturated and carry little information about the light.
    inside = (warmth >= 0) & (warmth < N_WARMTH_BINS) & (duv >= 0) & (duv < N_DUV_BINS)
    place = np.ravel_multi_index(
        (
            np.clip(steps[inside] + 1, 0, N_STEPS_EV - 1).astype(np.intp),
            duv[inside].astype(np.intp),
            warmth[inside].astype(np.intp),
        ),
        SHAPE,
    )
    occupied = cells.occupied[cells.usable][inside]
    weight = np.where(occupied, FULL_WEIGHT * OCCUPIED_WEIGHT, FULL_WEIGHT)
    total = np.bincount(place, weight, int(np.prod(SHAPE)))
    bins = np.nonzero(total)[0]
    return ColourSignature.of(bins, np.rint(total[bins]))
