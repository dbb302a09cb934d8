"""What was planned, with all words for places, directions and angles turned into numbers."""

from __future__ import annotations

from dataclasses import dataclass

from auditor.accepted import Accepted, AcceptedColour
from auditor.geometry import Point
from auditor.quantities import WITH_TOLERANCE, tolerance_rule
from auditor.vocabulary.diagonals import DiagonalWord
from auditor.vocabulary.sides import PlannedSide
from auditor.vocabulary.zones import Zone


@dataclass(frozen=True, slots=True)
class PlannedThing:
    """A planned subject or supporting element.

    Attributes
    ----------
    name : str or None
        As written; None for the subject.
    at : Point or None
        Planned centroid. For a place in words it is the position that the words name, None where
        that depends on the subject ("behind").
    size : Accepted or None
        Planned share of the frame.
    zone : Zone or None
        Where its centroid may be, for a place in words.
    count : Accepted or None
        How many things of this name there are; None for one thing.
    """

    name: str | None = None
    at: Point | None = None
    size: Accepted | None = None
    zone: Zone | None = None
    count: Accepted | None = None

    @property
    def has_place(self) -> bool:
        """False for an element that only has to be in the frame."""
        return self.at is not None or self.zone is not None


@dataclass(frozen=True, slots=True)
class Intent:
    """What one picture should be; None or empty where the plan says nothing.

    Any one of several techniques, sides, backgrounds and surfaces will do; of a palette every
    colour must be there. A diagonal is planned as a word or in degrees, never as both.
    """

    techniques: tuple[str, ...] = ()
    subject: PlannedThing | None = None
    supporting: tuple[PlannedThing, ...] = ()
    camera_elevation: Accepted | None = None  # degrees
    light: Accepted | None = None  # hours
    light_from_above: bool = False  # will do, too, or alone
    negative_space: Accepted | None = None  # share of the frame
    negative_space_sides: tuple[PlannedSide, ...] = ()
    diagonal: DiagonalWord | None = None
    diagonal_deg: float | None = None
    colour_temperature: Accepted | None = None  # mired
    palette: tuple[AcceptedColour, ...] = ()
    background: tuple[AcceptedColour, ...] = ()
    surface: tuple[AcceptedColour, ...] = ()
    aspect_ratio: Accepted | None = None  # width over height
    mirrored: bool = False  # whether the mirror image of the composition will do as well
    without: tuple[PlannedThing, ...] = ()  # what must not be in the picture


@dataclass(frozen=True, slots=True)
class Purpose:
    """Why a shot is off its plan on purpose.

    Attributes
    ----------
    reason : str
        As written.
    quantities : tuple of str
        In which quantities; empty for all.
    element : str or None
        The supporting element, or the thing ruled out, that alone it is about.
    """

    reason: str
    quantities: tuple[str, ...] = ()
    element: str | None = None


@dataclass(frozen=True, slots=True)
class PlannedRule:
    """A rule for the pictures of the set together.

    Attributes
    ----------
    name : str
        Its key in ``[set]``.
    accepted : Accepted or None
        How many pictures; None for a rule that does not count them.
    words : str
        What is asked: ``"at least 2"``, ``"different angles"``.
    """

    name: str
    accepted: Accepted | None
    words: str


@dataclass(frozen=True, slots=True)
class Shot:
    """One planned picture.

    Attributes
    ----------
    name : str
    files : tuple of str
        Patterns (``*`` and ``?``) for the names of its pictures; empty where they are found by
        what they show.
    intent : Intent
        Its own, completed from the whole set's where it says nothing.
    on_purpose : tuple of Purpose
        Of those that are about an item, the first counts.
    """

    name: str
    files: tuple[str, ...]
    intent: Intent
    on_purpose: tuple[Purpose, ...] = ()


@dataclass(frozen=True, slots=True)
class Tolerances:
    """How far a picture may be from its plan; `auditor.quantities` has units and reasons."""

    subject: float
    subject_size: float
    supporting: float
    technique: float
    camera_elevation: float
    light: float
    diagonal: float
    negative_space: float
    colour_temperature: float
    palette: float
    background: float
    surface: float
    aspect_ratio: float


DEFAULT_TOLERANCES = Tolerances(**{name: tolerance_rule(name).default for name in WITH_TOLERANCE})


@dataclass(frozen=True, slots=True)
class Plan:
    """A whole plan.

    Attributes
    ----------
    title : str or None
    series : Intent
        What holds for every shot that does not say otherwise.
    shots : tuple of Shot
    tolerances : Tolerances
    rules : tuple of PlannedRule
        For the set as a whole.
    remarks : tuple of str
        What the reader of the file should know: keys that are ignored, words that are not compared.
    """

    title: str | None
    series: Intent
    shots: tuple[Shot, ...]
    tolerances: Tolerances
    rules: tuple[PlannedRule, ...] = ()
    remarks: tuple[str, ...] = ()
