"""How much two pictures differ in what the eye sees first: angle, light, layout and colours.

Each difference is in units of what is taken as the same (`SAME`): up to 1 two pictures are alike in
it. Their mean over all traits, what is not known counting as `UNKNOWN`, is the distance of two
pictures. All of one picture are compared with it at once, so the work for a large portfolio is many
small tables and never one table of all pairs.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from auditor.colorimetry import Swatch
from auditor.measurements.measured_photograph import MeasuredPhotograph
from auditor.series.portfolio.dimensions import CLASS_OF, trusted
from auditor.vocabulary.portfolio_terms import Dimension, Trait

Floats = NDArray[np.float64]

DIAL_HOURS = 12.0
LEAST_FRACTION = 0.01  # of the frame: below it the ratio of two sizes says nothing
MOST_COLOURS = 6  # of a palette that are compared; the rest is small
MOST_DIFFERENCE = 3.0  # from here on more difference makes no odds
UNKNOWN = 1.5  # for a trait of which nothing is known: neither alike nor clearly different
OTHER = 2.5  # two classes that are not the same

# What is taken as the same (our choice, by eye on every second of 167 photographs of dishes).
SAME: dict[Trait, float] = {
    Trait.CAMERA_ANGLE: 12.0,  # degrees
    Trait.LIGHT: 1.5,  # hours
    Trait.PLACE: 0.09,  # of the diagonal
    Trait.SUBJECT_SIZE: 0.5,  # octaves
    Trait.LIGHTNESS: 10.0,  # L*
    Trait.SUBJECT_COLOURS: 13.0,  # CIELAB units, mean over the shares
    Trait.GROUND_COLOURS: 12.0,
}
# How much each weighs in the distance: colours are seen first (our choice, the same pictures).
WEIGHTS: dict[Trait, float] = {
    Trait.CAMERA_ANGLE: 1.5,
    Trait.LIGHT: 0.5,
    Trait.PLACE: 0.75,
    Trait.SUBJECT_SIZE: 0.75,
    Trait.DISH_SHAPE: 0.75,
    Trait.LIGHTNESS: 0.5,
    Trait.SUBJECT_COLOURS: 2.0,
    Trait.GROUND_COLOURS: 2.0,
    Trait.RATIO: 0.25,
}
TRAITS = tuple(Trait)


@dataclass(frozen=True, slots=True)
class Palettes:
    """Palettes of N pictures: (N, k, 3) CIELAB, and shares (N, k) that sum to 1, or 0 if empty."""

    labs: Floats
    shares: Floats

    @classmethod
    def of(cls, palettes: Sequence[Sequence[Swatch]]) -> Palettes:
        """The largest colours of each palette."""
        labs = np.zeros((len(palettes), MOST_COLOURS, 3))
        shares = np.zeros((len(palettes), MOST_COLOURS))
        for place, palette in enumerate(palettes):
            largest = sorted(palette, key=lambda one: (-one.share, one.hex))[:MOST_COLOURS]
            for column, swatch in enumerate(largest):
                labs[place, column], shares[place, column] = swatch.lab, swatch.share
        totals = shares.sum(axis=1, keepdims=True)
        return cls(labs, shares / np.where(totals > 0, totals, 1))

    def part(self, places: NDArray[np.intp]) -> Palettes:
        """Some of the palettes."""
        return Palettes(self.labs[places], self.shares[places])

    def from_one(self, place: int) -> Floats:
        """How far (N,) each palette is from one of them; NaN where either is empty.

        Each colour is compared with the nearest one of the other palette; the mean over the shares
        of both palettes, in CIELAB units.
        """
        own_there = self.shares[place] > 0
        there = self.shares > 0
        if not own_there.any():
            return np.full(len(there), np.nan)
        # (own colour, other colour, palette): the long axis last, along which numpy is fast.
        others = np.ascontiguousarray(self.labs.T)[:, np.newaxis]
        own = self.labs[place].T[:, :, np.newaxis, np.newaxis]
        lightness, a, b = np.square(others - own)
        distance = np.sqrt(lightness + a + b)
        to_own = np.ascontiguousarray(distance[own_there].min(axis=0).T)
        to_other = np.ascontiguousarray(np.where(there.T, distance, np.inf).min(axis=1).T)
        away = (np.where(there, to_own, 0) * self.shares).sum(axis=1)
        back = np.where(own_there, to_other, 0) @ np.where(own_there, self.shares[place], 0)
        found: Floats = np.where(there.any(axis=1), (away + back) / 2, np.nan)
        return found


@dataclass(frozen=True, slots=True)
class Traits:
    """The traits of N pictures as arrays, NaN or -1 where unknown."""

    angle: Floats
    clock: Floats
    place: Floats
    octaves: Floats
    lightness: Floats
    dish: NDArray[np.intp]
    ratio: NDArray[np.intp]
    subject: Palettes
    ground: Palettes

    @classmethod
    def of(cls, measured: Sequence[MeasuredPhotograph]) -> Traits:
        """The traits of measured pictures, in their order."""
        return cls(
            np.array([_angle(picture) for picture in measured]),
            np.array([_clock(picture) for picture in measured]),
            np.array([_place(picture) for picture in measured]).reshape(-1, 2),
            np.array([_octaves(picture) for picture in measured]),
            np.array([picture.tone.mean_lightness for picture in measured]),
            _codes(Dimension.DISH_SHAPE, measured),
            _codes(Dimension.RATIO, measured),
            Palettes.of([_subject_palette(picture) for picture in measured]),
            Palettes.of([picture.ground_palette for picture in measured]),
        )

    def part(self, places: NDArray[np.intp]) -> Traits:
        """The traits of some of the pictures."""
        return Traits(
            self.angle[places],
            self.clock[places],
            self.place[places],
            self.octaves[places],
            self.lightness[places],
            self.dish[places],
            self.ratio[places],
            self.subject.part(places),
            self.ground.part(places),
        )

    def by_ground(self) -> NDArray[np.intp]:
        """Places of the pictures in the order of how light their grounds are on average."""
        lightness = (self.ground.labs[:, :, 0] * self.ground.shares).sum(axis=1)
        return np.argsort(lightness, kind="stable")

    def from_one(self, place: int) -> Floats:
        """Differences (N, traits) of all pictures from one, in units of `SAME`; NaN unknown."""
        hours = np.abs(self.clock - self.clock[place])
        columns = {
            Trait.CAMERA_ANGLE: np.abs(self.angle - self.angle[place]),
            Trait.LIGHT: np.minimum(hours, DIAL_HOURS - hours),
            Trait.PLACE: np.linalg.norm(self.place - self.place[place], axis=1),
            Trait.SUBJECT_SIZE: np.abs(self.octaves - self.octaves[place]),
            Trait.DISH_SHAPE: _apart(self.dish, place),
            Trait.LIGHTNESS: np.abs(self.lightness - self.lightness[place]),
            Trait.SUBJECT_COLOURS: self.subject.from_one(place),
            Trait.GROUND_COLOURS: self.ground.from_one(place),
            Trait.RATIO: _apart(self.ratio, place),
        }
        return np.stack([columns[trait] / SAME.get(trait, 1.0) for trait in TRAITS], axis=1)


def distances(differences: Floats) -> Floats:
    """The distance (N,) of each row of differences."""
    weights = np.array([WEIGHTS[trait] for trait in TRAITS])
    known = np.where(np.isnan(differences), UNKNOWN, np.minimum(differences, MOST_DIFFERENCE))
    found: Floats = known @ weights / weights.sum()
    return found


def _angle(picture: MeasuredPhotograph) -> float:
    elevation = trusted(picture.camera_elevation)
    return math.nan if elevation is None else elevation.deg


def _clock(picture: MeasuredPhotograph) -> float:
    light = trusted(picture.light)
    return math.nan if light is None else light.clock


def _place(picture: MeasuredPhotograph) -> tuple[float, float]:
    """The subject's centroid in diagonals from the frame's middle."""
    subject = trusted(picture.subject)
    if subject is None:
        return math.nan, math.nan
    diagonal = math.hypot(picture.width, picture.height)
    x, y = subject.centroid
    return (x - 0.5) * picture.width / diagonal, (y - 0.5) * picture.height / diagonal


def _octaves(picture: MeasuredPhotograph) -> float:
    subject = trusted(picture.subject)
    return math.nan if subject is None else math.log2(subject.area_fraction + LEAST_FRACTION)


def _subject_palette(picture: MeasuredPhotograph) -> Sequence[Swatch]:
    return () if trusted(picture.subject) is None else picture.subject_palette


def _codes(dimension: Dimension, measured: Sequence[MeasuredPhotograph]) -> NDArray[np.intp]:
    """A number (N,) for each class; -1 where it is not known."""
    names = [CLASS_OF[dimension](picture) for picture in measured]
    numbers = {name: number for number, name in enumerate(sorted({str(n) for n in names if n}))}
    return np.array([numbers.get(str(name), -1) for name in names], dtype=np.intp)


def _apart(codes: NDArray[np.intp], place: int) -> Floats:
    apart = np.where(codes == codes[place], 0.0, OTHER)
    found: Floats = np.where((codes < 0) | (codes[place] < 0), np.nan, apart)
    return found
