"""Contrast: a picture is an outlier only if its contrast differs throughout.

A picture without a dark dish has less contrast although it was developed like the others. If the
development differs, the contrast changes everywhere: between the middle values and between the
strong ones. So contrast is read between the extremes and between the quartiles, and an outlier
must differ in both.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from auditor.measurements.measured_photograph import MeasuredPhotograph
from auditor.measurements.tone import lightness_ev
from auditor.quantities import set_rule
from auditor.quantities.set_rules import LEAST_PICTURES_FOR_OUTLIERS
from auditor.series.statistics.followed_quantity import N_QUANTITIES
from auditor.series.statistics.outliers import follow_changes
from auditor.series.statistics.robust import outlier_limit, qn_spread
from auditor.series.statistics.series_quantity import SeriesQuantity

GRAIN_LIGHTNESS = 2.0  # added to L* before the logarithm: smaller values have no useful ratio


def follow_contrast(measured: Sequence[MeasuredPhotograph]) -> SeriesQuantity:
    """Follow contrast over a set."""
    values = tuple((picture.file, picture.tone.contrast) for picture in measured)
    return follow_changes("contrast", values, _changes(measured).tolist(), GRAIN_LIGHTNESS)


def _changes(measured: Sequence[MeasuredPhotograph]) -> NDArray[np.float64]:
    """Change (N,) in octaves of the pictures that are outliers, 0 for the others.

    The smaller of the two changes counts, and only if both have the same sign.
    """
    n, rule = len(measured), set_rule("contrast")
    if n < LEAST_PICTURES_FOR_OUTLIERS:
        return np.zeros(n)
    contrasts = np.array([_at_middle_grey(picture) for picture in measured])
    octaves = np.log2(contrasts + GRAIN_LIGHTNESS)
    octaves -= np.median(octaves, axis=0)
    limits = [
        outlier_limit(n, N_QUANTITIES, qn_spread(column), rule.least_spread) for column in octaves.T
    ]
    beyond = np.abs(octaves) > np.maximum(rule.noticeable, limits)
    same_sign = np.abs(np.sign(octaves).sum(axis=1)) == octaves.shape[1]
    smaller = np.sign(octaves[:, 0]) * np.abs(octaves).min(axis=1)
    return np.where(beyond.all(axis=1) & same_sign, smaller, 0.0)


def _at_middle_grey(picture: MeasuredPhotograph) -> tuple[float, float]:
    """Contrast between the extremes and between the quartiles, at middle grey exposure.

    L* + 16 follows the cube root of luminance (CIE 15:2018). Therefore a picture that is one EV
    darker has a fifth less contrast, which its exposure explains.
    """
    tone = picture.tone
    factor = 2.0 ** (-lightness_ev(tone) / 3)
    return tone.contrast * factor, tone.midtone_contrast * factor
