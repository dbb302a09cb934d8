"""Which colours a picture holds, and how light: what two pictures are compared by, like with like.

A change of white moves all colours of a picture by one vector in the plane of neutrals, a change
of exposure all of them along the scale of lightness. Two pictures of one table so hold the same
pattern, moved: how far is told by laying one over the other, even where neither shows a neutral.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from auditor.colorimetry import XYZ_FROM_LINEAR
from auditor.colour_signature.average import average_warmth
from auditor.colour_signature.neutral_plane import Cells

N_STEPS_EV = 13
STEP_EV = 0.5
DARKEST_EV = -6.0  # below white: the step under it takes all that is darker
N_DUV_BINS, DUV_BIN = 32, 0.0024
N_WARMTH_BINS, WARMTH_BIN_MIRED = 160, 5.0
SHAPE = (N_STEPS_EV, N_DUV_BINS, N_WARMTH_BINS)
OCCUPIED_WEIGHT = 0.3  # of a cell on a dish: from frame to frame dishes change, the table stays
FULL_WEIGHT = 10  # of any other cell; the weights are whole numbers, to be written down shortly


@dataclass(frozen=True, slots=True)
class ColourSignature:
    """Histogram of lightness, Duv and warmth, without its empty bins, and what all averages to.

    Attributes
    ----------
    bins : tuple of int
        Places in an array of `SHAPE`, in order.
    weights : tuple of int
        What lies in each.
    average_warmth : float or None
        Shades of grey over the whole frame, clipped or not: what a picture was balanced by that was
        balanced on its average. Along the plane of neutrals, as the histogram is.
    """

    bins: tuple[int, ...]
    weights: tuple[int, ...]
    average_warmth: float | None = None

    def histogram(self) -> NDArray[np.float64]:
        """The whole histogram, an array of `SHAPE` that sums to 1, or to 0 where it is empty."""
        flat = np.zeros(int(np.prod(SHAPE)))
        flat[list(self.bins)] = self.weights
        return (flat / max(float(flat.sum()), 1.0)).reshape(SHAPE)


def colour_signature(cells: Cells) -> ColourSignature:
    """The signature of a picture's usable cells."""
    light = cells.light[cells.usable] @ XYZ_FROM_LINEAR[1]
    steps = np.floor((np.log2(np.maximum(light, 2.0 ** (2 * DARKEST_EV))) - DARKEST_EV) / STEP_EV)
    warmth = np.rint(cells.plane[:, 0] / WARMTH_BIN_MIRED) + N_WARMTH_BINS // 2
    duv = np.rint(cells.plane[:, 1] / DUV_BIN) + N_DUV_BINS // 2
    # What lies outside is strongly coloured, and says little about the light.
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
    return ColourSignature(
        tuple(bins.tolist()),
        tuple(np.rint(total[bins]).astype(int).tolist()),
        average_warmth(cells),
    )
