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
    """All pairs that repeat each other, at most `MOST_NEAR` of each picture, nearest first."""
    pairs = {}
    for place in range(len(traits.angle)):
        differences = traits.from_one(place)
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
            key = (min(place, other), max(place, other))
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
    found = []
    while partners:
        middle = min(partners, key=lambda place: _rank(place, partners[place], measured))
        own = partners[middle]
        found.append(_group(middle, own, measured))
        partners = _without({middle, *own}, partners)
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


def _without(
    taken: set[int], partners: dict[int, dict[int, AlikePair]]
) -> dict[int, dict[int, AlikePair]]:
    left = {
        place: {other: pair for other, pair in own.items() if other not in taken}
        for place, own in partners.items()
        if place not in taken
    }
    return {place: own for place, own in left.items() if own}
