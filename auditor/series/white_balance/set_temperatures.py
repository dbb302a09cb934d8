"""Colour temperatures that can be compared within the set.

Alone, a picture's neutral is off by about 10 mired, and its casts are told too small; how much
warmer one picture of a table is than the next is told far better, by what both show. So pictures
that are alike are tied to each other by their differences, and what single pictures say sets the
level of each tied group.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray
from scipy.sparse.csgraph import connected_components

from auditor.measurements.colour_temperature import (
    TOLERANCE_MIRED,
    mired_from_warmth,
    warmth_from_mired,
)
from auditor.measurements.measured_photograph import MeasuredPhotograph
from auditor.series.statistics.robust import centre_and_spread
from auditor.series.white_balance.group_confidence import level_confidence
from auditor.series.white_balance.pairwise_white_shift import Spectrum, compare, spectrum

Floats = NDArray[np.float64]

# On 191 rendered tables of the teaching family, 20 sets of one table each in light of one colour
# (`python -m fixtures.rendering tables --look`): likeness of two pictures of one set reached this
# for 62 % of pairs, of two sets for 11 %.
LEAST_LIKENESS = 0.6
# Of the same tables, the second best likeness of a picture tells how well it is tied: 95 % lie
# within 8 mired of their set's middle from here on, and 85 % within 25 mired below.
WELL_TIED_LIKENESS = 0.75
WELL_TIED_MIRED, LOOSELY_TIED_MIRED = 8.0, 25.0
# Alone, by an estimator since replaced, 80 % of them lay within 29 mired of their set's middle and
# 90 % within 45; today's would allow less. Where several stand alone, how far they lie apart tells
# how far single pictures of this set can be trusted.
UNTIED_MIRED = 45.0
LEAST_UNTIED = 5
UNTIED_SPREADS = 3.0
MAX_PARTNERS = 8  # compared with each picture of a large set; a thing can be tied by two
ALL_PAIRS_UP_TO = 32  # pictures: with more, partners are chosen by a quick look
STRAY_MIRED = 6.0  # a difference that contradicts the others by this much counts a half
N_REWEIGHTINGS = 12
LEAST_CONFIDENCE = 0.5  # of a single picture's neutral that is heard on the level


@dataclass(frozen=True, slots=True)
class SetTemperature:
    """The colour temperature of one picture of a set.

    Attributes
    ----------
    mired : float
    tolerance : float
        Within which its difference from the rest of the set is trusted, in mired.
    is_tied : bool
        Whether it was compared like with like, or stands alone.
    level_confidence : float
        Probability that `mired` itself, not its difference from the rest, errs by at most
        `TOLERANCE_MIRED`.
    group : int
        Pictures of one number are tied to each other, directly or by way of others.
    """

    mired: float
    tolerance: float
    is_tied: bool
    level_confidence: float
    group: int


def set_temperatures(measured: Sequence[MeasuredPhotograph]) -> dict[str, SetTemperature]:
    """Colour temperature of each picture by its file; without those of which nothing is known."""
    warmer, likeness = _compared([spectrum(picture.colours) for picture in measured])
    alone, confidence = _own_warmth(measured)
    sure = confidence >= LEAST_CONFIDENCE
    ties = np.where(likeness >= LEAST_LIKENESS, likeness, 0.0)
    n_groups, group = connected_components(ties, directed=False)
    found: dict[int, SetTemperature] = {}
    for number in range(n_groups):
        members = np.nonzero(group == number)[0]
        relative = _joined(warmer[np.ix_(members, members)], ties[np.ix_(members, members)])
        # Doubtful values accuse nobody: for tied pictures they only set the level of all.
        heard = sure[members] if sure[members].any() else members.size > 1
        heard = heard & np.isfinite(alone[members])
        if heard.any():
            said = (alone[members] - relative)[heard]
            level = float(np.median(said))
            surety = level_confidence(confidence[members][heard].tolist(), (said - level).tolist())
            for member, value in zip(members.tolist(), relative.tolist(), strict=True):
                tolerance = _tolerance(likeness[member])
                if _is_contradicted(tolerance, alone[member] - level - value):
                    continue
                mired = mired_from_warmth(level + value)
                found[member] = SetTemperature(mired, tolerance, members.size > 1, surety, number)
    untied = [told.mired for told in found.values() if not told.is_tied]
    trusted = _untied_tolerance(untied)
    return {
        measured[member].file: told if told.is_tied else replace(told, tolerance=trusted)
        for member, told in sorted(found.items())
    }


def _is_contradicted(tolerance: float, away_mired: float) -> bool:
    """Whether a loosely tied picture says something quite different by itself.

    It may then be tied to what is only alike, and accuses nobody. On 25 rendered sets of one look,
    of six pictures named wrongly three were such, and of 58 named rightly (of 70 changed by 38
    mired) one.
    """
    return tolerance >= LOOSELY_TIED_MIRED and abs(away_mired) > LOOSELY_TIED_MIRED


def _untied_tolerance(mired: Sequence[float]) -> float:
    """How far a picture that stands alone is trusted, by how far those that do lie apart."""
    if len(mired) < LEAST_UNTIED:
        return UNTIED_MIRED
    _, spread = centre_and_spread(mired)
    return min(UNTIED_MIRED, max(TOLERANCE_MIRED, UNTIED_SPREADS * spread))


def _own_warmth(measured: Sequence[MeasuredPhotograph]) -> tuple[Floats, Floats]:
    """What each picture says alone, or not a number, and how sure it is of it."""
    quantities = [picture.colour_temperature for picture in measured]
    warmth = [np.nan if q.value is None else warmth_from_mired(q.value.mired) for q in quantities]
    confidence = [q.confidence or 0.0 for q in quantities]
    return np.array(warmth, dtype=np.float64), np.array(confidence, dtype=np.float64)


def _tolerance(likeness: Floats) -> float:
    """Within which a tied picture, so like the others, is placed among them."""
    best = np.sort(likeness)[::-1]
    # A picture's likeness to itself is 0: of two there is one partner, of more a second is asked.
    is_well_tied = best[1 if best.size > 2 else 0] >= WELL_TIED_LIKENESS
    return WELL_TIED_MIRED if is_well_tied else LOOSELY_TIED_MIRED


def _compared(spectra: Sequence[Spectrum]) -> tuple[Floats, Floats]:
    """How much warmer (N, N) each column is than each row, and the likeness (N, N) of the two."""
    n = len(spectra)
    warmer, likeness = np.zeros((n, n)), np.zeros((n, n))
    for first, second in _pairs(spectra):
        found = compare(spectra[first], spectra[second])
        warmer[first, second], warmer[second, first] = found.warmer, -found.warmer
        likeness[first, second] = likeness[second, first] = found.likeness
    return warmer, likeness


def _pairs(spectra: Sequence[Spectrum]) -> list[tuple[int, int]]:
    """All pairs of a small set; of a large one those that look most alike whatever the light."""
    n = len(spectra)
    if n <= ALL_PAIRS_UP_TO:
        return [(i, j) for i in range(n) for j in range(i + 1, n)]
    # The modulus of a spectrum does not change when all colours move along the locus.
    looks = np.stack([np.abs(s).ravel() for s in spectra])
    looks /= np.maximum(np.linalg.norm(looks, axis=1, keepdims=True), np.finfo(float).tiny)
    alike = looks @ looks.T
    np.fill_diagonal(alike, -1.0)
    partners = np.argsort(-alike, axis=1, kind="stable")[:, :MAX_PARTNERS]
    return sorted(
        {(min(i, j), max(i, j)) for i, chosen in enumerate(partners.tolist()) for j in chosen}
    )


def _joined(warmer: Floats, ties: Floats) -> Floats:
    """Warmth (N,) of tied pictures relative to their middle, by reweighted least squares."""
    n = len(warmer)
    position = np.zeros(n)
    for _ in range(N_REWEIGHTINGS):
        off = warmer - (position[None] - position[:, None])
        weight = ties**2 / (1 + (off / STRAY_MIRED) ** 2)
        laplacian = np.diag(weight.sum(axis=1)) - weight
        position = np.linalg.lstsq(laplacian, -(weight * warmer).sum(axis=1), rcond=1e-9)[0]
    return np.asarray(position - np.median(position))
