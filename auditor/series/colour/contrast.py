"""Contrast, which leaves the set only where the whole picture does.

A picture without a dark dish has less contrast and was not developed differently. What was, is
changed throughout: the middle of its values and the strong ones alike. So contrast is read between
the extremes and between the quartiles, and a picture leaves the set where it does so in both.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from auditor.measurements.measured_photograph import MeasuredPhotograph
from auditor.series.quantities import N_QUANTITIES, lightness_ev
from auditor.series.statistics.outliers import (
    LEAST_PICTURES_FOR_OUTLIERS,
    SeriesQuantity,
    follow_changes,
    ratio_words,
)
from auditor.series.statistics.robust import outlier_limit, qn_spread

GRAIN_LIGHTNESS = 2.0  # added to L* before the logarithm: below it factors say nothing
LEAST_SPREAD_OCTAVES = 0.1
# In whole frames contrast goes by a third either way with a dark kettle or a fall-off of light
# (`tests/benchmarks/check_series_colours.py`).
NOTICEABLE_OCTAVES = 0.6

REST = "contrast than the rest of the set, throughout ({amount})"


def follow_contrast(measured: Sequence[MeasuredPhotograph]) -> SeriesQuantity:
    """Follow contrast over a set.

    Returns
    -------
    SeriesQuantity
        The deviation of an outlier is from what its own value would be without the change.
    """
    values = tuple((picture.file, picture.tone.contrast) for picture in measured)
    changes = _leaving(measured).tolist()
    return follow_changes("contrast", "L*", values, changes, GRAIN_LIGHTNESS, _said)


def _said(octaves: float) -> str:
    return ("more " if octaves > 0 else "less ") + REST.format(amount=ratio_words(2**octaves))


def _leaving(measured: Sequence[MeasuredPhotograph]) -> NDArray[np.float64]:
    """Change (N,) in octaves of the pictures that leave the set, 0 for the others.

    The smaller of the two changes is told, and only where both go the same way.
    """
    n = len(measured)
    if n < LEAST_PICTURES_FOR_OUTLIERS:
        return np.zeros(n)
    read = np.array([_as_exposed(picture) for picture in measured])
    octaves = np.log2(read + GRAIN_LIGHTNESS)
    octaves -= np.median(octaves, axis=0)
    limits = [
        outlier_limit(n, N_QUANTITIES, qn_spread(place), LEAST_SPREAD_OCTAVES)
        for place in octaves.T
    ]
    beyond = np.abs(octaves) > np.maximum(NOTICEABLE_OCTAVES, limits)
    same_way = np.abs(np.sign(octaves).sum(axis=1)) == octaves.shape[1]
    smaller = np.sign(octaves[:, 0]) * np.abs(octaves).min(axis=1)
    return np.where(beyond.all(axis=1) & same_way, smaller, 0.0)


def _as_exposed(picture: MeasuredPhotograph) -> tuple[float, float]:
    """Contrast as it would be at middle grey exposure.

    L* + 16 follows the cube root of light (CIE 15:2018): a picture that is one EV darker has a
    fifth less contrast, which its exposure tells already.
    """
    tone = picture.tone
    factor = 2.0 ** (-lightness_ev(tone) / 3)
    return tone.contrast * factor, tone.midtone_contrast * factor
