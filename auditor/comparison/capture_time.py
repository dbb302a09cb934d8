"""What capture times hint at: one shot is taken in one go, and shots in the order of the plan.

Both are habits, not rules: the set may have been taken in another order or over several days. So
each hint is bounded, and that of the order is as strong as the pictures that are known by what they
show bear it out.
"""

from __future__ import annotations

from collections.abc import Sequence
from datetime import UTC, datetime

import numpy as np
from numpy.typing import NDArray

from auditor.comparison.evidence import compared_places
from auditor.comparison.hints import Matrix, bounded_logs, of_one_kind
from auditor.measurements.measured_photograph import MeasuredPhotograph

LEAST_TIMES = 3  # fewer pictures with a time have no order
# Standard deviation of a picture's place in the order of time from its shot's in the plan, as a
# fraction of the whole, before it is known; as if from so many pictures (our choice, no source).
ORDER_DEVIATION, ORDER_PICTURES = 0.3, 6.0
# Of two orders that have nothing to do with each other: the difference of two even fractions has a
# variance of 1/6. From this share of it on, the shots were not taken in the order of the plan.
UNRELATED_VARIANCE, MOST_RELATED = 1 / 6, 0.6


def seconds_of(pictures: Sequence[MeasuredPhotograph]) -> NDArray[np.float64]:
    """Capture times in seconds since the first; NaN where the picture has none that can be read."""
    times = np.array([_seconds(picture.camera.taken) for picture in pictures], dtype=np.float64)
    return times - np.nanmin(times) if np.isfinite(times).any() else times


def _seconds(taken: str | None) -> float:
    """The camera's clock as it stood: not by the zone of this machine, whose clock may jump."""
    try:
        return datetime.fromisoformat(taken or "").replace(tzinfo=UTC).timestamp()
    except (ValueError, OverflowError, OSError):
        return np.nan


def time_log_ratios(seconds: NDArray[np.float64], chances: Matrix) -> Matrix:
    """Logarithms of what capture times say of each shot and picture.

    Parameters
    ----------
    seconds : (P,) array
        NaN where unknown.
    chances : (S, P) array
        Probability that each picture is one of each shot, by what it shows.
    """
    ratios = np.zeros_like(chances)
    known = np.flatnonzero(np.isfinite(seconds))
    if len(known) < LEAST_TIMES or np.ptp(seconds[known]) <= 0:
        return ratios
    among = chances[:, known]
    ratios[:, known] = _closeness(seconds[known], among) + _order(seconds[known], among)
    return ratios


def _closeness(seconds: NDArray[np.float64], chances: Matrix) -> Matrix:
    """Whether a picture was taken among the others of the shot rather than at any time."""
    gaps = np.diff(np.sort(seconds))
    usual_gap = float(np.median(gaps[gaps > 0]))
    compared = compared_places(len(seconds))
    near = 1 / (1 + ((seconds[compared, np.newaxis] - seconds) / usual_gap) ** 2)
    return of_one_kind(near, chances, compared)


def _order(seconds: NDArray[np.float64], chances: Matrix) -> Matrix:
    """Whether a picture comes where its shot stands in the plan."""
    n_shots, n_pictures = chances.shape
    rank = (np.argsort(np.argsort(seconds, kind="stable")) + 0.5) / n_pictures
    place = (np.arange(n_shots) + 0.5) / n_shots
    apart = rank - place[:, np.newaxis]
    squares = float((chances * apart**2).sum()) + ORDER_PICTURES * ORDER_DEVIATION**2
    variance = squares / (float(chances.sum()) + ORDER_PICTURES)
    if variance >= MOST_RELATED * UNRELATED_VARIANCE:
        return np.zeros_like(chances)
    density = np.exp(-0.5 * apart**2 / variance)
    return bounded_logs(density / density.mean(axis=1, keepdims=True))
