"""Assign pictures to shots by likelihood: the best assignment, and how sure each match is.

Each shot may have one picture, further ones, or none; each picture belongs to one shot or to none.
Before anything is seen, a shot has a picture with the odds `SHOT_ODDS`, further ones and pictures
of no shot are so many on average. With the likelihood ratios, that weighs every assignment. The
best one is given; how sure each of its matches is follows from all of them, by Sinkhorn's scaling
(the marginals of a soft assignment: each shot's first place has at most one picture).
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Matrix = NDArray[np.float64]

# Odds that a planned shot has a picture at all, and below the pictures of no shot to be expected: a
# wrong match is worse than a picture that is left over. Chosen so that on rendered tables four in
# five of those of no shot are left over (`tests/benchmarks/check_matching.py`, teaching family).
SHOT_ODDS = 1.0
# Pictures of no shot and further pictures of a shot to be expected, as shares of the pictures and
# at least so many in all.
UNPLANNED_SHARE, LEAST_UNPLANNED = 0.4, 0.5
FURTHER_SHARE, LEAST_FURTHER = 0.15, 0.1
MORE_SHARE = 0.7  # of the pictures beyond one for each shot, which are mostly further ones
MOST_ROUNDS = 200  # of the scaling, which settles in a few dozen
SETTLED = 1e-6


@dataclass(frozen=True, slots=True)
class Guess:
    """What one picture was taken for.

    Attributes
    ----------
    shot : int or None
        Index of the shot; None for no shot of the plan.
    probability : float
        That it is so, in [0, 1].
    second : int or None
        The next likely answer; None for no shot of the plan.
    second_probability : float
    """

    shot: int | None
    probability: float
    second: int | None
    second_probability: float


def guesses(log_ratios: Matrix) -> tuple[Guess, ...]:
    """Assign pictures to shots.

    Parameters
    ----------
    log_ratios : (S, P) array
        From `log_ratios`.

    Returns
    -------
    tuple of Guess
        One for each picture.
    """
    n_shots, n_pictures = log_ratios.shape
    weights = weights_for(n_shots, n_pictures)
    given = _best(log_ratios, weights)
    chances = probabilities(log_ratios, weights)
    return tuple(_guess(shot, chances[:, at]) for at, shot in enumerate(given))


@dataclass(frozen=True, slots=True)
class Weights:
    """Weights of a match before anything is seen, as logarithms.

    Attributes
    ----------
    first, further : float
        Of a shot's first picture, and of a further one.
    none : float
        Of a picture of no shot.
    """

    first: float
    further: float
    none: float


def weights_for(n_shots: int, n_pictures: int) -> Weights:
    """Weights for a set of pictures.

    More pictures than shots are taken for further pictures of the shots.
    """
    more = max(0, n_pictures - n_shots)
    further = max(LEAST_FURTHER, (FURTHER_SHARE * n_pictures + MORE_SHARE * more) / max(1, n_shots))
    none = max(LEAST_UNPLANNED, UNPLANNED_SHARE * n_pictures)
    return Weights(float(np.log(SHOT_ODDS)), float(np.log(further)), float(np.log(none)))


def _best(log_ratios: Matrix, weights: Weights) -> list[int | None]:
    """The assignment of the largest weight; the shot of each picture."""
    from scipy.optimize import linear_sum_assignment  # slow to load

    n_shots, n_pictures = log_ratios.shape
    further = log_ratios + weights.further
    best_further = further.max(axis=0, initial=-np.inf)
    otherwise = np.maximum(best_further, weights.none)
    # A picture that is no shot's first is a further one or of no shot, whatever the others are.
    gains = np.hstack(
        [
            (log_ratios + weights.first).T,
            np.broadcast_to(otherwise[:, np.newaxis], (n_pictures, n_pictures)),
        ]
    )
    rows, columns = linear_sum_assignment(-gains)
    given: list[int | None] = [None] * n_pictures
    for row, column in zip(rows.tolist(), columns.tolist(), strict=True):
        if column < n_shots:
            given[row] = column
        elif best_further[row] > weights.none:
            given[row] = int(further[:, row].argmax())
    return given


def probabilities(log_ratios: Matrix, weights: Weights) -> Matrix:
    """Probability that each picture is one of each shot; what is missing to 1 is of no shot.

    Returns
    -------
    (S, P) array
    """
    # Divided by the largest weight of each picture, nothing overflows.
    most = np.maximum(log_ratios.max(axis=0, initial=-np.inf), 0.0)
    first = np.exp(log_ratios + weights.first - most)
    further = np.exp(log_ratios + weights.further - most)
    rest = further.sum(axis=0) + np.exp(weights.none - most)
    free = np.ones(len(log_ratios))
    for _ in range(MOST_ROUNDS):
        pictures = 1 / (free @ first + rest)
        before, free = free, 1 / (first @ pictures + 1)
        if np.abs(free - before).max(initial=0.0) < SETTLED:
            break
    pictures = 1 / (free @ first + rest)
    return np.asarray((free[:, np.newaxis] * first + further) * pictures)


def _guess(shot: int | None, chances: NDArray[np.float64]) -> Guess:
    """What was given with its probability and the likeliest other answer."""
    every: dict[int | None, float] = {None: max(0.0, 1 - float(chances.sum()))}
    every.update(enumerate(chances.tolist()))
    second = max((one for one in every if one != shot), key=lambda one: every[one], default=None)
    return Guess(shot, every[shot], second, every.get(second, 0.0))
