"""Likelihood ratios: how much likelier a reading is in a picture of a shot than in any picture.

A picture of a shot keeps a planned item or does not. If it keeps it, its reading lies about the
planned value; if it does not, or if the reading is wrong, the picture shows what any picture may
show. So the ratio is

    1 - kept + kept × (density about the planned value) / (density over any picture)

with `kept` the probability that the item is kept and the reading right. It is 1 where nothing was
measured, and never falls below 1 - kept: one item alone does not exclude a shot. What any picture
shows is taken from the pictures of the set, the one in question left out, and from a density over
pictures in general, which counts as much as `USUAL_PICTURES` pictures.
"""

from __future__ import annotations

from collections.abc import Callable, Hashable, Sequence

import numpy as np
from numpy.typing import ArrayLike, NDArray
from scipy.special import ndtr

from auditor.accepted import Accepted

Ratios = NDArray[np.float64]

# The numbers of the evidence, here and in its other modules, were chosen on 268 rendered tables of
# the teaching family with plans from their truth (`tests/benchmarks/check_matching.py`): sets of 12
# to 30 with others, and plans kept loosely. Small changes matter little: with half or twice as many
# usual pictures, or narrower scales, a match in a hundred is another.

# Number of pictures of the set that weigh as much as what pictures in general show.
USUAL_PICTURES = 6.0
# How far pictures of a shot lie from its plan, in tolerances: most are near it, some are only
# about there. Each scale with its share.
SCALES = ((0.35, 0.7), (1.0, 0.3))
# Smoothing of what the set shows, in tolerances.
SMOOTHING = 0.5
LEAST_DENSITY = 1e-6  # keeps a quotient finite
# Pictures of a large set, spread evenly over it, that stand for all others: bounds time and memory,
# which would grow with the square.
MOST_COMPARED = 512


def compared_places(n_pictures: int) -> NDArray[np.intp]:
    """Places of the pictures that each is held against: all, or `MOST_COMPARED` of a large set."""
    n_compared = min(n_pictures, MOST_COMPARED)
    return np.linspace(0, n_pictures - 1, n_compared).round().astype(np.intp)


def ratio_of(kept: ArrayLike, planned: Ratios, usual: Ratios) -> Ratios:
    """The ratio from both densities.

    Parameters
    ----------
    kept : array_like
        Probability that the item is kept and the reading right; broadcast to (S, P).
    planned : (S, P) array
        Density of the reading in a picture that keeps it.
    usual : (P,) or (S, P) array
        Density of the reading in any picture.
    """
    share = np.asarray(kept, dtype=np.float64)
    return 1 - share + share * planned / np.maximum(usual, LEAST_DENSITY)


def says_nothing(planned: Sequence[Hashable]) -> bool:
    """Whether what the shots plan cannot tell them apart: all plan the same, or nothing.

    Of a single shot everything counts: it may be the picture's or not.
    """
    is_same = len(set(planned)) <= 1
    return is_same and (len(planned) != 1 or not planned[0])


def without_self(
    total: Ratios, own: Ratios, n_others: int | NDArray[np.intp], general: ArrayLike
) -> Ratios:
    """Mean over the other pictures of the set, joined with what pictures in general show.

    Parameters
    ----------
    total : array
        Sum over all pictures.
    own : array
        The picture's own part of it.
    n_others : int or array
    general : array_like
        The same over pictures in general.
    """
    return (total - own + USUAL_PICTURES * np.asarray(general)) / (n_others + USUAL_PICTURES)


def density_about(
    accepted: Accepted,
    values: Ratios,
    spreads: Ratios,
    tolerance: float,
    period: float | None,
) -> Ratios:
    """Density of readings in pictures that keep what is accepted.

    Parameters
    ----------
    accepted : Accepted
    values, spreads : (P,) array
        Readings with the standard deviations of their errors.
    tolerance : float
        Of the plan, in the same unit.
    period : float or None
        Of a direction, which repeats.
    """
    turns = (0.0,) if period is None else (-period, 0.0, period)
    widths = [most - least for least, most in accepted.spans]
    total = sum(widths)
    density = np.zeros_like(values)
    for span, width in zip(accepted.spans, widths, strict=True):
        part = width / total if total > 0 else 1 / len(widths)
        for scale, share in SCALES:
            deviation = np.hypot(scale * tolerance, spreads)
            for turn in turns:
                density += part * share * _in_span(span, values + turn, deviation)
    return density


def _in_span(span: tuple[float, float], values: Ratios, deviation: Ratios) -> Ratios:
    """Density of a value anywhere in a range, with a normal error."""
    least, most = span
    if most - least < LEAST_DENSITY:
        return normal(values - least, deviation)
    inside = ndtr((most - values) / deviation) - ndtr((least - values) / deviation)
    return np.asarray(inside) / (most - least)


def normal(difference: Ratios, deviation: Ratios) -> Ratios:
    """Density of a normal error."""
    scaled = difference / deviation
    return np.asarray(np.exp(-0.5 * scaled**2) / (deviation * np.sqrt(2 * np.pi)))


def density_of_set(
    values: Ratios,
    spreads: Ratios,
    tolerance: float,
    period: float | None,
    general: Callable[[Ratios], Ratios],
) -> Ratios:
    """Density of each reading over the other pictures of the set and pictures in general."""
    deviation = np.hypot(SMOOTHING * tolerance, spreads)[:, np.newaxis]
    compared = compared_places(len(values))
    apart = values[:, np.newaxis] - values[compared]
    if period is not None:
        apart = (apart + period / 2) % period - period / 2
    each = normal(apart, np.broadcast_to(deviation, apart.shape))
    return mean_over_others(each, compared, general(values))


def mean_over_others(each: Ratios, compared: NDArray[np.intp], general: ArrayLike) -> Ratios:
    """Mean density over the other pictures, joined with what pictures in general show.

    Parameters
    ----------
    each : (P, C) array
        Density of each picture's reading by each of the pictures compared.
    compared : (C,) int array
        Their places.
    general : array_like
        Density over pictures in general.
    """
    own, n_others = np.zeros(len(each)), np.full(len(each), len(compared))
    own[compared] = each[compared, np.arange(len(compared))]
    n_others[compared] -= 1
    return without_self(each.sum(axis=1), own, n_others, general)


def agreement_ratios(
    agreement: Sequence[Ratios | None], kept: float, general: float, n_pictures: int
) -> Ratios:
    """Ratios from how far each picture agrees with what each shot plans.

    Parameters
    ----------
    agreement : sequence of ((P,) array or None)
        For each shot, in [0, 1], NaN where it cannot be told; None where the shot plans nothing.
    kept : float
        Probability that a picture of the shot keeps it.
    general : float
        Agreement of pictures in general.
    n_pictures : int
    """
    ratios = np.ones((len(agreement), n_pictures))
    for row, each in zip(ratios, agreement, strict=True):
        if each is None:
            continue
        known = ~np.isnan(each)
        degrees = each[known]
        usual = without_self(
            np.full(degrees.shape, degrees.sum()), degrees, len(degrees) - 1, general
        )
        row[known] = ratio_of(kept, degrees, usual)
    return ratios
