"""Hints that bind the pictures of one shot together, bounded so that none decides alone."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

Matrix = NDArray[np.float64]

# Pictures that weigh, beside those of the shot, for a shot whose pictures are like any (our choice,
# no source).
ANY_PICTURE = 1.0
# What each hint may say at most, either way, and all together: they are habits, and they repeat
# each other (our choice, no source).
MOST_RATIO, MOST_OF_ALL = 4.0, 8.0
LEAST_NEARNESS = 1e-3  # keeps a quotient finite


def bounded_logs(ratios: Matrix) -> Matrix:
    """Logarithms of the ratios of a hint, bounded."""
    most = np.log(MOST_RATIO)
    return np.asarray(np.clip(np.log(np.maximum(ratios, np.exp(-most))), -most, most))


def together(*hints: Matrix) -> Matrix:
    """All hints as one, bounded."""
    most = np.log(MOST_OF_ALL)
    return np.asarray(np.clip(sum(hints), -most, most))


def of_one_kind(near: Matrix, chances: Matrix, compared: NDArray[np.intp] | None = None) -> Matrix:
    """Whether a picture is nearer to the other pictures of a shot than to any, as bounded logs.

    Parameters
    ----------
    near : (C, P) array
        Nearness of two pictures, in [0, 1].
    chances : (S, P) array
        Probability that each picture is one of each shot.
    compared : (C,) int array or None
        The pictures that stand for all others, by their places; None for all.

    Returns
    -------
    (S, P) array
        0 for a shot without another picture.
    """
    places = np.arange(len(near)) if compared is None else compared
    rows = np.arange(len(places))
    apart = near.copy()
    apart[rows, places] = 0.0
    is_among = np.zeros(near.shape[1])
    is_among[places] = 1.0
    n_others = np.maximum(1, len(places) - is_among)
    by_chance = np.maximum(apart.sum(axis=0) / n_others, LEAST_NEARNESS)
    among = chances[:, places]
    others = among.sum(axis=1, keepdims=True) - chances * is_among
    about = (among @ apart + ANY_PICTURE * by_chance) / (others + ANY_PICTURE)
    return bounded_logs(about / by_chance)
