"""What was planned, with all words for places, directions and angles turned into numbers."""

from __future__ import annotations

from dataclasses import dataclass

from auditor.accepted import Accepted, AcceptedColour
from auditor.geometry import Point
from auditor.quantities import WITH_TOLERANCE, tolerance_rule
from auditor.vocabulary.diagonals import DiagonalWord
from auditor.vocabulary.sides import Side
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
    """

    name: str | None = None
    at: Point | None = None
    size: Accepted | None = None
    zone: Zone | None = None

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
    negative_space: Accepted | None = None  # share of the frame
    negative_space_sides: tuple[Side, ...] = ()
    diagonal: DiagonalWord | None = None
    diagonal_deg: float | None = None
    colour_temperature: Accepted | None = None  # mired
    palette: tuple[AcceptedColour, ...] = ()
    background: tuple[AcceptedColour, ...] = ()
    surface: tuple[AcceptedColour, ...] = ()
    aspect_ratio: Accepted | None = None  # width over height


@dataclass(frozen=True, slots=True)
class Shot:
    """One planned picture.

    Attributes
    ----------
    name : str
    files : tuple of str
        Patterns (``*`` and ``?``) for the names of its pictures.
    intent : Intent
        Its own, completed from the whole set's where it says nothing.
    """

    name: str
    files: tuple[str, ...]
    intent: Intent


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
    """

    title: str | None
    series: Intent
    shots: tuple[Shot, ...]
    tolerances: Tolerances
