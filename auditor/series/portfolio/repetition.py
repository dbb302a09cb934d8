"""Pictures that repeat each other: the same angle, light, layout and colours.

A group is made of the pictures that are near to one of them, its middle. The picture that most
others are near to is the first middle; of those that are left the next. A chain of near pairs is
no group. Nothing in this depends on the order of the files.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from auditor.measurements.measured_photograph import MeasuredPhotograph
from auditor.series.portfolio.differences import TRAITS, Traits, distances
from auditor.vocabulary.portfolio_terms import Trait

Floats = NDArray[np.float64]

# Distance up to which two pictures repeat each other: by eye on every second of 167 photographs of
# dishes, those that one would not put side by side (our choice, no other source).
MOST_DISTANCE = 0.7
# Both colours and as many traits as this must be alike, or two pictures do not repeat each other.
LEAST_ALIKE = 5
NEEDED = (Trait.SUBJECT_COLOURS, Trait.GROUND_COLOURS)
MOST_COLOUR_DIFFERENCE = 1.0  # of the needed traits: both colours are alike
MOST_COMPARED = 256  # pictures with which each is compared: bounds the time
MOST_NEAR = 16  # near pictures kept of each: bounds the work on a thousand alike pictures


@dataclass(frozen=True, slots=True)
class Repetition:
    """Pictures that repeat each other.

    Attributes
    ----------
    files : tuple of str
        In the order of the pictures.
    traits : tuple of Trait
        In which each is like the group's middle.
    distance : float
        The mean distance from the middle; smaller is more alike.
    """

    files: tuple[str, ...]
    traits: tuple[Trait, ...]
    distance: float


@dataclass(frozen=True, slots=True)
class AlikePair:
    """Two pictures that repeat each other, by their places, and how."""

    first: int
    second: int
    distance: float
    traits: tuple[Trait, ...]


def alike_pairs(traits: Traits) -> list[AlikePair]:
    """All pairs that repeat each other, at most `MOST_NEAR` of each picture, nearest first.

    Of more than `MOST_COMPARED` pictures each is compared with so many whose grounds are about as
    light: pictures that repeat each other have like grounds.
    """
    pairs = {}
    order = traits.by_ground()
    n_compared = min(MOST_COMPARED, len(order))
    for rank, own in enumerate(order.tolist()):
        start = min(max(0, rank - n_compared // 2), len(order) - n_compared)
        compared = np.sort(order[start : start + n_compared])
        place = int(np.searchsorted(compared, own))
        differences = traits.part(compared).from_one(place)
        away = distances(differences)
        is_alike = differences <= 1  # False where not known
        needed = differences[:, [TRAITS.index(trait) for trait in NEEDED]]
        near = (
            (away <= MOST_DISTANCE)
            & (is_alike.sum(axis=1) >= LEAST_ALIKE)
            & (needed <= MOST_COLOUR_DIFFERENCE).all(axis=1)
        )
        near[place] = False
        found = np.flatnonzero(near)
        for other in found[np.argsort(away[found], kind="stable")][:MOST_NEAR].tolist():
            shared = tuple(t for t, alike in zip(TRAITS, is_alike[other], strict=True) if alike)
            there = int(compared[other])
            key = (min(own, there), max(own, there))
            pairs[key] = AlikePair(*key, float(away[other]), shared)
    return sorted(pairs.values(), key=lambda pair: (pair.distance, pair.first, pair.second))


def repetitions(
    measured: Sequence[MeasuredPhotograph], pairs: Sequence[AlikePair]
) -> tuple[Repetition, ...]:
    """Groups of pictures that repeat each other, the most alike first.

    Parameters
    ----------
    measured : sequence of MeasuredPhotograph
    pairs : sequence of AlikePair
        Places are those in `measured`.
    """
    partners: dict[int, dict[int, AlikePair]] = {}
    for pair in pairs:
        partners.setdefault(pair.first, {})[pair.second] = pair
        partners.setdefault(pair.second, {})[pair.first] = pair
    ranks = {place: _rank(place, own, measured) for place, own in partners.items()}
    found = []
    while partners:
        middle = min(ranks, key=lambda place: ranks[place])
        own = partners[middle]
        found.append(_group(middle, own, measured))
        for place in _take_out({middle, *own}, partners):
            if place in partners:
                ranks[place] = _rank(place, partners[place], measured)
        ranks = {place: rank for place, rank in ranks.items() if place in partners}
    return tuple(sorted(found, key=lambda one: (one.distance, one.files)))


def _rank(
    place: int, own: dict[int, AlikePair], measured: Sequence[MeasuredPhotograph]
) -> tuple[int, float, str]:
    return -len(own), sum(pair.distance for pair in own.values()), measured[place].file


def _group(
    middle: int, own: dict[int, AlikePair], measured: Sequence[MeasuredPhotograph]
) -> Repetition:
    shared = [trait for trait in TRAITS if all(trait in pair.traits for pair in own.values())]
    return Repetition(
        tuple(measured[place].file for place in sorted({middle, *own})),
        tuple(shared),
        sum(pair.distance for pair in own.values()) / len(own),
    )


def _take_out(taken: set[int], partners: dict[int, dict[int, AlikePair]]) -> set[int]:
    """Take pictures out of the partners of all; the places of those that had one of them."""
    touched = {other for place in taken for other in partners[place]} - taken
    for place in taken:
        del partners[place]
    for place in touched:
        left = {other: pair for other, pair in partners[place].items() if other not in taken}
        if left:
            partners[place] = left
        else:
            del partners[place]
    return touched
