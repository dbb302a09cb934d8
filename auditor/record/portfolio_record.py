"""The models of pictures that are no one set in the record: variety, repetition, weakest, order."""

from __future__ import annotations

from pydantic import Field

from auditor.record.base import Fraction, Record
from auditor.vocabulary.portfolio_terms import Dimension, Fault, Trait


class ClassRecord(Record):
    """The pictures of one class."""

    name: str
    files: list[str]


class VarietyRecord(Record):
    """The pictures over the classes of one dimension; `unknown` are those without a class.

    `message` says where one class is most of the pictures, or all classes are there; it may be
    empty.
    """

    dimension: Dimension
    classes: list[ClassRecord]
    unknown: list[str]
    message: str = ""


class SharedClassRecord(Record):
    """A class that all or nearly all of the pictures of a known class share."""

    dimension: Dimension
    name: str
    n_pictures: int
    n_known: int
    message: str = ""


class OnlyOneRecord(Record):
    """The only picture of a class."""

    dimension: Dimension
    name: str
    file: str
    message: str = ""


class RepetitionRecord(Record):
    """Pictures that repeat each other, and the traits in which all are like one of them.

    `distance` is the mean distance from that one, where 1 is what is taken as the same in each
    trait.
    """

    files: list[str]
    traits: list[Trait]
    distance: float
    message: str = ""


class FaultRecord(Record):
    """A technical fault.

    `value` is the share of the subject (clipped), the longer side in pixels (small), mired (mixed
    light; a cast, warm positive) or degrees (tilt); `duv` is that of a green or magenta cast.
    `severity` is how many times the limit, of faults of one kind only.
    """

    fault: Fault
    severity: float
    value: float | None = None
    duv: float | None = None


class WeakPictureRecord(Record):
    """One of the technically weakest pictures, and why."""

    file: str
    faults: list[FaultRecord]
    message: str = ""


class MoveRecord(Record):
    """A picture that moves to between two others, away from one that it repeats."""

    file: str
    repeats: str
    after: str | None
    before: str | None
    differs_in: list[Dimension]
    message: str = ""


class OpeningRecord(Record):
    """The picture to begin with, and its subject's share of the frame."""

    file: str
    subject_share: Fraction
    message: str = ""


class OrderRecord(Record):
    """An order in which pictures that repeat each other do not follow each other.

    `beside` are neighbours of the present order that repeat each other. `order` is empty where
    nothing is suggested; `message` says why.
    """

    beside: list[tuple[str, str]]
    opening: OpeningRecord | None = None
    moves: list[MoveRecord] = Field(default_factory=list)
    order: list[str] = Field(default_factory=list)
    message: str = ""


class PortfolioRecord(Record):
    """What is said of pictures that are no one set."""

    varieties: list[VarietyRecord]
    shared: list[SharedClassRecord]
    only: list[OnlyOneRecord]
    repetitions: list[RepetitionRecord]
    weakest: list[WeakPictureRecord]
    order: OrderRecord
