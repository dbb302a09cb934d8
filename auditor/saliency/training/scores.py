"""Scores of a map against a known subject; needs no torch."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

BETA_SQUARED = 0.3  # of the F-measure (Achanta and others 2009), at twice the map's mean
CENTROID_SHARE = 0.5  # of the map's maximum: the centroid is that of the pixels above


def figures(
    maps: Sequence[NDArray[np.floating]], truths: Sequence[NDArray[np.bool_]]
) -> dict[str, float]:
    """Mean centroid error, F-measure and absolute error over pictures.

    Parameters
    ----------
    maps : sequence of (h, w) float arrays
        In [0, 1].
    truths : sequence of (h, w) bool arrays
        Of the same sizes.

    Returns
    -------
    dict
        `centroid_mean` and `centroid_median` are fractions of the frame's diagonal.
    """
    pairs = list(zip(maps, truths, strict=True))
    errors = [centroid_error_fraction(found, truth) for found, truth in pairs]
    return {
        "centroid_mean": float(np.mean(errors)),
        "centroid_median": float(np.median(errors)),
        "f_measure": float(np.mean([f_measure(found, truth) for found, truth in pairs])),
        "mean_absolute_error": float(np.mean([np.abs(f - t).mean() for f, t in pairs])),
    }


def centroid_error_fraction(found: NDArray[np.floating], truth: NDArray[np.bool_]) -> float:
    """Distance between the centroids of a map's high values and of the truth, over the diagonal."""
    high = found * (found > CENTROID_SHARE * found.max())
    return float(np.hypot(*(centroid(high) - centroid(truth))) / np.hypot(*truth.shape))


def f_measure(found: NDArray[np.floating], truth: NDArray[np.bool_]) -> float:
    """Weighted harmonic mean of precision and recall, at twice the map's mean."""
    chosen = found >= min(2 * found.mean(), 0.95 * found.max())
    hits = float((chosen & truth).sum())
    if hits == 0:
        return 0.0
    precision, recall = hits / chosen.sum(), hits / truth.sum()
    return float((1 + BETA_SQUARED) * precision * recall / (BETA_SQUARED * precision + recall))


def centroid(weights: NDArray[np.generic]) -> NDArray[np.float64]:
    """(row, column) in pixels."""
    total = float(weights.sum()) or 1.0
    down = (np.arange(weights.shape[0]) * weights.sum(axis=1)).sum() / total
    across = (np.arange(weights.shape[1]) * weights.sum(axis=0)).sum() / total
    return np.array([down, across])
