"""Intervals of a share and of a mean, and the rule for several tests at once.

Sources: E. B. Wilson, Probable inference, the law of succession, and statistical inference, Journal
of the American Statistical Association 22 (1927) 209-212; Student, The probable error of a mean,
Biometrika 6 (1908) 1-25; S. Holm, A simple sequentially rejective multiple test procedure,
Scandinavian Journal of Statistics 6 (1979) 65-70.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import NamedTuple

from scipy.special import ndtri, stdtr, stdtrit

COVERAGE = 0.95  # of all intervals (common practice)


class Interval(NamedTuple):
    """Least and most value."""

    least: float
    most: float


def wilson_interval(n_met: int, n: int, coverage: float = COVERAGE) -> Interval:
    """Wilson's score interval of a share, in [0, 1].

    Parameters
    ----------
    n_met, n : int
        How many of how many; `n` is at least 1.
    coverage : float
    """
    z = float(ndtri((1 + coverage) / 2))
    share = n_met / n
    middle = share + z**2 / (2 * n)
    half = z * math.sqrt(share * (1 - share) / n + z**2 / (4 * n**2))
    scale = 1 + z**2 / n
    return Interval(max(0.0, (middle - half) / scale), min(1.0, (middle + half) / scale))


def mean_interval(
    mean: float, error: float, freedom: float, coverage: float = COVERAGE
) -> Interval:
    """Student's interval of a mean.

    Parameters
    ----------
    mean, error : float
        The mean and its standard error.
    freedom : float
        Degrees of freedom of the error: of n values alone n - 1.
    coverage : float
    """
    half = float(stdtrit(freedom, (1 + coverage) / 2)) * error
    return Interval(mean - half, mean + half)


def two_sided(mean: float, error: float, freedom: float) -> float:
    """Probability of a mean as far from 0 by chance; parameters as of `mean_interval`."""
    if error <= 0:
        return 0.0 if mean else 1.0
    return float(2 * stdtr(freedom, -abs(mean) / error))


def below(mean: float, error: float, freedom: float) -> float:
    """The same of a mean as far below 0."""
    if error <= 0:
        return 0.0 if mean < 0 else 1.0
    return float(stdtr(freedom, mean / error))


def holm(probabilities: Sequence[float], level: float) -> list[bool]:
    """Which of several tests are beyond doubt, when any false one among them has this level."""
    order = sorted(range(len(probabilities)), key=lambda place: probabilities[place])
    sure = [False] * len(probabilities)
    for rank, place in enumerate(order):
        if probabilities[place] > level / (len(order) - rank):
            break
        sure[place] = True
    return sure
