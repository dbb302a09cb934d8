"""What repeats from shoot to shoot: intents that are off to one side, or met less often.

The shoot is the unit, not the picture: pictures of one day share its light, its table and its
mood, so that thirty of them say no more about a habit than one shoot does.

How much shoots vary from one to the next is hardly known from three of them. It is estimated of all
quantities together, in tolerances, and each quantity's own variance is moderated by it, after G. K.
Smyth, Linear models and empirical Bayes methods for assessing differential expression in microarray
experiments, Statistical Applications in Genetics and Molecular Biology 3 (2004) 3.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from auditor.history.intervals import Interval, below, holm, mean_interval, two_sided
from auditor.history.shoot import AXES, Deviation, KeptIntent, Shoot
from auditor.quantities import PLANNED, tolerance_rule

LEAST_SHOOTS = 3  # from fewer nothing is said: two can agree by chance (our choice, no source)
# The latest so many count, and are drawn: a habit of long ago is no habit, and more do not fit a
# chart on a telephone. Shoots (our choice, no source).
MOST_SHOOTS = 24
# Probability of any wrong statement, where there is no habit: together 1 in 20 (common practice).
# Most of it goes to what is off to one side, since that says what to do otherwise (our choice).
LEVEL_OF_SIDES, LEVEL_OF_SHARES = 0.04, 0.01
# A smaller mean is not worth a sentence, and may be an error of the measurement: half the tolerance
# of the quantity (our choice, no source).
LEAST_OF_TOLERANCE = 0.5
# The variance of all quantities counts as much as this many shoots more of the one. With 3 instead
# of 2, what is said of three shoots is wrong in 8% where one quantity varies far more than all
# others (simulated; `tests/benchmarks/check_habits.py` has the figures of 2).
FREEDOM_OF_ALL = 2.0
LEAST_AXES = 3  # fewer say nothing about how much shoots vary in general (our choice, simulated)
# Shoots as a whole are taken to vary by at least this much where the variance of all counts: a
# standard deviation, in tolerances (our choice, no source).
LEAST_SPREAD_OF_ALL = 0.3
# How much less often than the others an intent is met, to be said; a share (our choice, no source).
LEAST_SHARE_BELOW = 0.2


@dataclass(frozen=True, slots=True)
class Trend:
    """One axis of a quantity over the shoots in which it has a value.

    Attributes
    ----------
    quantity, axis : str
    n_shoots : int
        At least `LEAST_SHOOTS`.
    mean : float
        Of the means of the shoots; see `Deviation`.
    interval : Interval
        Student's, over the shoots, with the moderated variance.
    probability : float
        Of a mean as far from 0 by chance.
    """

    quantity: str
    axis: str
    n_shoots: int
    mean: float
    interval: Interval
    probability: float

    @property
    def is_large(self) -> bool:
        """Whether the mean is worth a sentence."""
        return abs(self.mean) >= LEAST_OF_TOLERANCE * tolerance_rule(self.quantity).default


@dataclass(frozen=True, slots=True)
class KeptShare:
    """How often a quantity was met over the shoots that planned it, and how often the others were.

    `n_met` of `n_decided` items were met; `below_others` is the mean over the shoots of its share
    minus the share of all other quantities, `probability` that of one as far below by chance; both
    are None where too few shoots have others.
    """

    quantity: str
    n_shoots: int
    n_met: int
    n_decided: int
    others_share: float | None
    below_others: float | None
    probability: float | None


@dataclass(frozen=True, slots=True)
class Habit:
    """Something that repeats: the sides to which a quantity is off, or that it is met less often.

    `trends` is empty for a quantity that is met less often than the others without a direction.
    """

    share: KeptShare
    trends: tuple[Trend, ...]


def latest(shoots: Sequence[Shoot]) -> tuple[Shoot, ...]:
    """The shoots that count: those with a plan, in the order of their days, at most the latest."""
    planned = sorted((one for one in shoots if one.intents), key=lambda one: one.day)
    return tuple(planned[-MOST_SHOOTS:])


def are_enough(shoots: Sequence[Shoot]) -> bool:
    """Whether anything may be said of these shoots."""
    return len(shoots) >= LEAST_SHOOTS


def trends(shoots: Sequence[Shoot]) -> tuple[Trend, ...]:
    """All axes that have a value in enough shoots."""
    found = [
        one
        for quantity in PLANNED
        for axis in AXES.get(quantity, ())
        if (one := _over_shoots(quantity, axis, shoots)) is not None
    ]
    if not found:
        return ()
    of_all = math.fsum(one.variance for one in found) / len(found)
    of_all = max(of_all, LEAST_SPREAD_OF_ALL**2)
    freedom_of_all = FREEDOM_OF_ALL if len(found) >= LEAST_AXES else 0.0
    return tuple(_trend(one, of_all, freedom_of_all) for one in found)


def kept_shares(shoots: Sequence[Shoot]) -> tuple[KeptShare, ...]:
    """All quantities that were decided in enough shoots."""
    found = (_kept_share(quantity, shoots) for quantity in PLANNED)
    return tuple(one for one in found if one is not None)


def find_habits(shoots: Sequence[Shoot]) -> tuple[Habit, ...]:
    """What repeats beyond doubt, in the order of the registry; nothing from too few shoots.

    Parameters
    ----------
    shoots : sequence of Shoot
        As `latest` gives them.
    """
    all_trends, shares = trends(shoots), kept_shares(shoots)
    sure = holm([one.probability for one in all_trends], LEVEL_OF_SIDES)
    sides = [one for one, is_sure in zip(all_trends, sure, strict=True) if is_sure and one.is_large]
    tested = [one for one in shares if one.probability is not None]
    rare = {
        one.quantity
        for one, is_sure in zip(
            tested, holm([one.probability or 0.0 for one in tested], LEVEL_OF_SHARES), strict=True
        )
        if is_sure and (one.below_others or 0.0) <= -LEAST_SHARE_BELOW
    }
    return tuple(
        Habit(share, tuple(one for one in sides if one.quantity == share.quantity))
        for share in shares
        if share.quantity in rare or any(one.quantity == share.quantity for one in sides)
    )


@dataclass(frozen=True, slots=True)
class _OverShoots:
    """The mean of one axis over its shoots and their variance, in tolerances."""

    quantity: str
    axis: str
    n_shoots: int
    mean: float
    variance: float


def _over_shoots(quantity: str, axis: str, shoots: Sequence[Shoot]) -> _OverShoots | None:
    found = [one for shoot in shoots if (one := deviation_of(shoot, quantity, axis)) is not None]
    n, tolerance = len(found), tolerance_rule(quantity).default
    if n < LEAST_SHOOTS:
        return None
    mean = math.fsum(one.mean for one in found) / n
    variance = math.fsum((one.mean - mean) ** 2 for one in found) / (n - 1)
    # Shoots that agree by chance are no surer than their own pictures make them.
    inside = math.fsum(one.spread**2 / one.n for one in found if one.spread is not None) / n
    variance = max(variance, inside) / tolerance**2
    return _OverShoots(quantity, axis, n, mean / tolerance, variance)


def _trend(one: _OverShoots, of_all: float, freedom_of_all: float) -> Trend:
    """Hold a mean against its variance, moderated by that of all quantities."""
    tolerance, own_freedom = tolerance_rule(one.quantity).default, one.n_shoots - 1
    freedom = own_freedom + freedom_of_all
    variance = (own_freedom * one.variance + freedom_of_all * of_all) / freedom
    error = math.sqrt(variance / one.n_shoots)
    least, most = mean_interval(one.mean, error, freedom)
    return Trend(
        one.quantity,
        one.axis,
        one.n_shoots,
        one.mean * tolerance,
        Interval(least * tolerance, most * tolerance),
        two_sided(one.mean, error, freedom),
    )


def deviation_of(shoot: Shoot, quantity: str, axis: str) -> Deviation | None:
    """How far a shoot was off along one axis; None where nothing says."""
    intent = shoot.intent(quantity)
    deviations = () if intent is None else intent.deviations
    return next((one for one in deviations if one.axis == axis), None)


def _kept_share(quantity: str, shoots: Sequence[Shoot]) -> KeptShare | None:
    own = [
        (shoot, one)
        for shoot in shoots
        if (one := shoot.intent(quantity)) is not None and one.n_decided
    ]
    if len(own) < LEAST_SHOOTS:
        return None
    n_met = sum(one.met for _, one in own)
    n_decided = sum(one.n_decided for _, one in own)
    pairs = [(one, others) for shoot, one in own if (others := _others(shoot, quantity)).n_decided]
    if len(pairs) < LEAST_SHOOTS:
        return KeptShare(quantity, len(own), n_met, n_decided, None, None, None)
    return _against_others(quantity, len(own), n_met, n_decided, pairs)


def _others(shoot: Shoot, quantity: str) -> KeptIntent:
    """All other quantities of a shoot as one."""
    others = [one for one in shoot.intents if one.quantity != quantity]
    counts = ((one.met, one.close, one.missed, one.undecided) for one in others)
    met, close, missed, undecided = (sum(n) for n in zip((0, 0, 0, 0), *counts, strict=True))
    return KeptIntent("", met, close, missed, undecided)


def _against_others(
    quantity: str,
    n_shoots: int,
    n_met: int,
    n_decided: int,
    pairs: Sequence[tuple[KeptIntent, KeptIntent]],
) -> KeptShare:
    n = len(pairs)
    below_by = [own.met / own.n_decided - others.met / others.n_decided for own, others in pairs]
    mean = math.fsum(below_by) / n
    variance = math.fsum((one - mean) ** 2 for one in below_by) / (n - 1) / n
    others_met = sum(others.met for _, others in pairs)
    others_decided = sum(others.n_decided for _, others in pairs)
    # What chance alone does to so few items, if they are met as often as the others (with one met
    # and one missed added, so that "always" is never certain).
    usual = (others_met + 1) / (others_decided + 2)
    by_chance = usual * (1 - usual) * math.fsum(1 / own.n_decided for own, _ in pairs) / n**2
    error = math.sqrt(max(variance, by_chance))
    return KeptShare(
        quantity,
        n_shoots,
        n_met,
        n_decided,
        others_met / others_decided,
        mean,
        below(mean, error, n - 1),
    )
