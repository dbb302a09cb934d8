"""How pictures spread over the classes of each dimension, what all share, what only one has."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from auditor.measurements.measured_photograph import MeasuredPhotograph
from auditor.series.portfolio.dimensions import (
    CLASS_OF,
    CLASSES,
    NO_DIVISION,
    doubt_of,
)
from auditor.vocabulary.portfolio_terms import Dimension

# Share of the known pictures from which nearly all share a class (our choice, no source).
NEARLY_ALL = 0.9
# Share of all pictures that must be known before all or one of them are spoken of.
LEAST_KNOWN_SHARE = 0.5
# Classes that are no trait to share: where neither of two ends is reached.
BETWEEN = {(Dimension.KEY, "middle"), (Dimension.DIVISION, NO_DIVISION)}
MOST_DOUBT_ALONE = 0.25  # of the only picture of a class (our choice, no source)
LEAST_KNOWN = 5  # pictures below which "only one" says nothing


@dataclass(frozen=True, slots=True)
class ClassOfPictures:
    """Pictures of one class, in their order."""

    name: str
    files: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Variety:
    """The pictures over the classes of one dimension.

    Attributes
    ----------
    dimension : Dimension
    classes : tuple of ClassOfPictures
        Those that have a picture, in the dimension's own order; ratios by their number.
    unknown : tuple of str
        Files of the pictures whose class is not known.
    """

    dimension: Dimension
    classes: tuple[ClassOfPictures, ...]
    unknown: tuple[str, ...]

    @property
    def n_known(self) -> int:
        """Number of pictures with a class."""
        return sum(len(one.files) for one in self.classes)

    @property
    def is_telling(self) -> bool:
        """True if enough is known to speak of all pictures, or of the only one."""
        n_all = self.n_known + len(self.unknown)
        return self.n_known >= max(LEAST_KNOWN, LEAST_KNOWN_SHARE * n_all)


@dataclass(frozen=True, slots=True)
class SharedClass:
    """A class that all or nearly all of the known pictures share."""

    dimension: Dimension
    name: str
    n_pictures: int
    n_known: int


@dataclass(frozen=True, slots=True)
class OnlyOne:
    """The only picture of a class."""

    dimension: Dimension
    name: str
    file: str


def varieties(measured: Sequence[MeasuredPhotograph]) -> tuple[Variety, ...]:
    """The variety in each dimension."""
    return tuple(_variety(dimension, measured) for dimension in Dimension)


def _variety(dimension: Dimension, measured: Sequence[MeasuredPhotograph]) -> Variety:
    files: dict[str, list[str]] = {}
    unknown = []
    for picture in measured:
        name = CLASS_OF[dimension](picture)
        if name is None:
            unknown.append(picture.file)
        else:
            files.setdefault(str(name), []).append(picture.file)
    order = CLASSES.get(dimension) or sorted(files, key=lambda name: (-len(files[name]), name))
    classes = (ClassOfPictures(name, tuple(files[name])) for name in order if name in files)
    return Variety(dimension, tuple(classes), tuple(unknown))


def shared_classes(found: Sequence[Variety]) -> tuple[SharedClass, ...]:
    """What all or nearly all pictures share."""
    return tuple(
        SharedClass(variety.dimension, one.name, len(one.files), variety.n_known)
        for variety in found
        if variety.is_telling
        for one in variety.classes
        if len(one.files) >= NEARLY_ALL * variety.n_known
        and (variety.dimension, one.name) not in BETWEEN
    )


def only_ones(
    found: Sequence[Variety], measured: Sequence[MeasuredPhotograph]
) -> tuple[OnlyOne, ...]:
    """What only one picture has, where that is sure: a class of one may be a wrong reading."""
    pictures = {picture.file: picture for picture in measured}
    return tuple(
        OnlyOne(variety.dimension, one.name, one.files[0])
        for variety in found
        if variety.is_telling
        for one in variety.classes
        if len(one.files) == 1
        and (variety.dimension, one.name) not in BETWEEN
        and doubt_of(variety.dimension, pictures[one.files[0]]) <= MOST_DOUBT_ALONE
    )
