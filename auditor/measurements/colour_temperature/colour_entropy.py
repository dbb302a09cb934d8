"""The entropy of a picture's colours, and what taking out a second light would change in it."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from auditor.colorimetry import XYZ_FROM_LINEAR, cell_means, grid_shape
from auditor.colour_signature.neutral_plane import (
    BRIGHTEST_LINEAR,
    DARKEST_LUMINANCE,
    Cells,
    plane_from_linear,
)
from auditor.measurements.colour_temperature.locus import locus_duv

Floats = NDArray[np.float64]

LONGEST_SIDE_CELLS = 48
"""Cells of the grid; one of 96 cells found borders hardly better (AUC 0.962 instead of 0.958)."""

WARMTH_BIN_MIRED, DUV_BIN, BRIGHTNESS_BIN_EV = 8.0, 0.005, 1.0
"""Bins of the histogram of colours, of which warmth is smoothed over about two bins. Finer ones
found fewer borders, coarser ones no more."""

MAX_WARMTH_MIRED = 400.0
"""Warmth either way of D65 beyond which colours count as equally saturated."""

LAST_WARMTH_BIN = int(2 * MAX_WARMTH_MIRED / WARMTH_BIN_MIRED)
MAX_DUV_BINS, MAX_BRIGHTNESS_BINS = 20, 16

N_SPREAD_BINS = 4
"""Bins that one colour reaches: the two nearest ones, and one beside each by smoothing."""

LARGEST_DIFFERENCE_MIRED = 245.0
"""Largest difference of two lights that is tried; illuminant A is 201 from D65 in warmth."""

FAR_MIRED, FAR_DUV_BIN = 100.0, 0.01
LAMP_DUV, LAMP_MIRED = 0.0028, 200.0
"""From this difference on, the curve of the Planckian locus counts, and lights differ in Duv: at
illuminant A a lamp is 0.0057 below the curve of daylight in the plane. Duv is taken relative to the
middle of the two, in coarser bins."""

MIN_SHARE = 0.12
"""Share of the usable cells that each light must have."""

BATCH_BINS = 1 << 16
"""Bins of the histograms that are made at once: 0.5 MB, which a core's cache holds."""

_TINIEST = float(np.finfo(np.float64).tiny)  # keeps the logarithm of an empty bin finite


class Colours:
    """The usable colours of a picture on a coarse grid, to compute entropies of.

    Attributes
    ----------
    x, y : (N,) float array
        Place of each usable cell relative to the middle of the frame, in units of its longer side.
    plain : (2,) float array
        Entropy of the colours as they are, in nats: in the bins for lights that are near each
        other in warmth, and in those for lights that are far apart.
    """

    def __init__(self, cells: Cells) -> None:
        height, width = cells.usable.shape
        rows, columns = grid_shape(height, width, LONGEST_SIDE_CELLS)
        light = cell_means(cells.light, rows, columns)
        luminance = light @ XYZ_FROM_LINEAR[1]
        usable = (light.max(axis=-1) <= BRIGHTEST_LINEAR) & (luminance >= DARKEST_LUMINANCE)
        x, y = places(rows, columns)
        self.x, self.y = x[usable], y[usable]
        plane = plane_from_linear(light[usable])
        warmth = plane[:, 0]
        brightness = np.rint(np.log2(luminance[usable]) / BRIGHTNESS_BIN_EV)
        brightness = np.clip(brightness, 1 - MAX_BRIGHTNESS_BINS, 0)
        from_locus = plane[:, 1] - locus_duv(warmth) + LAMP_DUV * warmth / LAMP_MIRED
        self._place = (warmth + MAX_WARMTH_MIRED) / WARMTH_BIN_MIRED
        self._kinds = (
            _Kinds(plane[:, 1] / DUV_BIN, brightness, self._place, FAR_MIRED),
            _Kinds(
                from_locus / FAR_DUV_BIN,
                brightness,
                self._place,
                LARGEST_DIFFERENCE_MIRED,
                spread=True,
            ),
        )
        unchanged = np.zeros((1, len(warmth)))
        self.plain = np.array([self._entropies(unchanged, kinds)[0] for kinds in self._kinds])

    @property
    def n_cells(self) -> int:
        """Usable cells of the grid."""
        return len(self.x)

    def gains(self, beyond: Floats, differences_mired: Sequence[float]) -> Floats:
        """Gain of entropy by taking out a second light, for each difference of the two lights.

        Parameters
        ----------
        beyond : (N,) float array
            Share of the second light at each usable cell, in [0, 1].
        differences_mired : sequence of float
            How much warmer the second light is, at most `LARGEST_DIFFERENCE_MIRED` either way.

        Returns
        -------
        (differences,) float array
            In nats; minus infinity if one light has too small a share.
        """
        warmer = np.asarray(differences_mired)
        mean = float(beyond.mean())
        gains = np.full(len(warmer), -np.inf)
        if _has_both_lights(mean):
            is_far = np.abs(warmer) >= FAR_MIRED
            for far in (False, True):
                chosen = np.flatnonzero(is_far == far)
                shifts = np.outer(warmer[chosen] / WARMTH_BIN_MIRED, beyond - mean)
                gains[chosen] = self._gains(shifts, is_far=far)
        return gains

    def gains_of_each(self, beyond: Floats, difference_mired: float) -> Floats:
        """The same as `gains` for one difference and each of several second lights.

        Parameters
        ----------
        beyond : (M, N) float array
            Share of the second light at each usable cell, in [0, 1].
        difference_mired : float

        Returns
        -------
        (M,) float array
        """
        means = np.array([float(of_one.mean()) for of_one in beyond])
        gains = np.full(len(beyond), -np.inf)
        chosen = np.flatnonzero([_has_both_lights(mean) for mean in means])
        shifts = beyond[chosen] - means[chosen, np.newaxis]
        shifts *= difference_mired / WARMTH_BIN_MIRED
        gains[chosen] = self._gains(shifts, is_far=abs(difference_mired) >= FAR_MIRED)
        return gains

    def _gains(self, shifts: Floats, *, is_far: bool) -> Floats:
        """Gain of entropy if cells are made cooler by each of (M, N) `shifts`, in bins."""
        kinds = self._kinds[int(is_far)]
        at_once = max(1, BATCH_BINS // max(1, kinds.n_bins))
        gains = np.empty(len(shifts))
        for first in range(0, len(shifts), at_once):
            some = slice(first, first + at_once)
            gains[some] = self.plain[int(is_far)] - self._entropies(shifts[some], kinds)
        return gains

    def _entropies(self, shifts: Floats, kinds: _Kinds) -> Floats:
        """Entropy of the colours, in nats, if cells are made cooler by each of (M, N) `shifts`.

        Shifts are in bins of warmth.
        """
        place = self._place - shifts
        np.clip(place, 0, LAST_WARMTH_BIN, out=place)
        lower = place.astype(np.intp)
        place -= lower
        counts = kinds.smooth_histograms(lower, place)
        logarithms = np.maximum(counts, _TINIEST)
        np.log(logarithms, out=logarithms)
        total = 4 * shifts.shape[1]  # the smoothing has a sum of 4
        sums = np.einsum("ij,ij->i", counts, logarithms)
        return np.asarray(np.log(max(1, total)) - sums / max(1, total))


class _Kinds:
    """Cells by Duv and brightness; each kind has a histogram of warmth.

    The histograms lie one after the other. Each has only the bins that its cells can reach.
    """

    def __init__(
        self,
        duv_bins: Floats,
        brightness: Floats,
        places: Floats,
        reach_mired: float,
        *,
        spread: bool = False,
    ) -> None:
        """Count a cell in the nearest bin of Duv or, if `spread`, in the two nearest.

        Parameters
        ----------
        duv_bins, brightness, places : (N,) float array
            Of each cell; `places` are in bins of warmth.
        reach_mired : float
            Largest difference of the lights, which shifts the cells either way.
        spread : bool
        """
        place = np.clip(duv_bins, -MAX_DUV_BINS, MAX_DUV_BINS)
        self._weights: Floats | None = None
        parts = [np.rint(place)]
        if spread:
            below = np.floor(place)
            parts = [below, below + 1]
            self._weights = np.stack([below + 1 - place, place - below])
        codes = np.stack(parts) * MAX_BRIGHTNESS_BINS + brightness
        found, kind = np.unique(codes, return_inverse=True)
        kind = kind.reshape(codes.shape)
        reach = reach_mired * (1 - MIN_SHARE) / WARMTH_BIN_MIRED
        lowest, highest = np.full(len(found), np.inf), np.full(len(found), -np.inf)
        for of_part in kind:
            np.minimum.at(lowest, of_part, places)
            np.maximum.at(highest, of_part, places)
        lowest, highest = (
            np.floor(np.clip(ends, 0, LAST_WARMTH_BIN)).astype(np.intp)
            for ends in (lowest - reach, highest + reach)
        )
        ends = np.cumsum(highest - lowest + N_SPREAD_BINS)
        starts = np.concatenate([[0], ends[:-1]])
        self.n_bins = int(ends[-1]) if len(ends) else 0
        self._first_bins: NDArray[np.intp] = (starts - lowest + 1)[kind]

    def smooth_histograms(self, lower: NDArray[np.intp], upper_share: Floats) -> Floats:
        """Histograms of (M, N) places of cells, smoothed by 1, 2, 1.

        Parameters
        ----------
        lower : (M, N) int array
            Lower of the two bins of warmth nearest to each cell.
        upper_share : (M, N) float array
            Share of the cell that belongs to the upper one, in [0, 1).

        Returns
        -------
        (M, n_bins) float array
        """
        n_bins = len(lower) * self.n_bins
        start = np.arange(0, n_bins, self.n_bins)[:, np.newaxis, np.newaxis]
        bins = (lower[:, np.newaxis] + self._first_bins + start).ravel()
        if self._weights is None:
            upper = np.bincount(bins, upper_share.ravel(), n_bins)
            counts = np.subtract(np.bincount(bins, minlength=n_bins), upper)
        else:
            weights = np.broadcast_to(self._weights, (len(lower), *self._weights.shape))
            upper = np.bincount(bins, (upper_share[:, np.newaxis] * weights).ravel(), n_bins)
            counts = np.bincount(bins, weights.ravel(), n_bins) - upper
        counts[1:] += upper[:-1]
        # The first and the last bin of each histogram are empty.
        pairs = np.add(counts[:-1], counts[1:], out=upper[:-1])
        np.add(pairs[:-1], pairs[1:], out=counts[1:-1])
        return counts.reshape(len(lower), self.n_bins)


def _has_both_lights(mean_share: float) -> bool:
    return MIN_SHARE <= mean_share <= 1 - MIN_SHARE


def places(rows: int, columns: int) -> tuple[Floats, Floats]:
    """Places of cells relative to the middle of the frame, in units of its longer side."""
    y, x = np.mgrid[:rows, :columns].astype(np.float64)
    longer = max(rows, columns)
    return (x + 0.5 - columns / 2) / longer, (y + 0.5 - rows / 2) / longer
