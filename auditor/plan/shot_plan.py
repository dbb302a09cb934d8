"""What was planned: the plan as written, places already turned into numbers."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from auditor.geometry import Point
from auditor.measurements.negative_space import Side


@dataclass(frozen=True, slots=True)
class PlannedThing:
    """A planned subject or supporting element.

    Attributes
    ----------
    name : str or None
        As written; None for the subject.
    at : Point or None
        Planned centroid.
    place : str or None
        The words of the place, where it was given in words.
    size : float or None
        Planned share of the frame.
    """

    name: str | None = None
    at: Point | None = None
    place: str | None = None
    size: float | None = None


@dataclass(frozen=True, slots=True)
class Intent:
    """What one frame should be; None or empty where the plan says nothing."""

    technique: str | None = None
    subject: PlannedThing | None = None
    supporting: tuple[PlannedThing, ...] = ()
    camera_elevation_deg: float | None = None
    light_clock: float | None = None
    negative_space_fraction: float | None = None
    negative_space_side: Side | None = None
    diagonal: Literal["rising", "falling", "none"] | float | None = None
    colour_temperature_kelvin: float | None = None
    palette: tuple[str, ...] = ()
    background: tuple[str, ...] = ()
    surface: tuple[str, ...] = ()
    aspect_ratio: float | None = None


@dataclass(frozen=True, slots=True)
class Shot:
    """One planned frame.

    Attributes
    ----------
    name : str
    files : tuple of str
        Patterns (``*`` and ``?``) that name its pictures.
    intent : Intent
        Its own, completed by the series' where it is silent.
    """

    name: str
    files: tuple[str, ...]
    intent: Intent


@dataclass(frozen=True, slots=True)
class Tolerances:
    """How far a picture may be from its plan; the reasons stand in `auditor.plan.tolerances`."""

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


@dataclass(frozen=True, slots=True)
class Plan:
    """A whole plan.

    Attributes
    ----------
    title : str or None
    series : Intent
    shots : tuple of Shot
    tolerances : Tolerances
    """

    title: str | None
    series: Intent
    shots: tuple[Shot, ...]
    tolerances: Tolerances
