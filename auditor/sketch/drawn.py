"""What is drawn on a page of frames.

Positions within a frame are fractions of it, as `auditor.geometry` defines them; corners on the
page are in pixels of the page.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from typing import Generic, TypeVar

import numpy as np
from numpy.typing import NDArray

from auditor.geometry import Box, Point
from auditor.vocabulary.sides import Side

T = TypeVar("T")

# From this confidence on a guess is stated plainly, below it as a guess; below the second it is
# more likely wrong than right, and a draft leaves it out.
SURE, LEAST_STATED = 0.8, 0.5


class Shape(StrEnum):
    """What an outline is like."""

    OVAL = "oval"
    SIDE_VIEW = "side view"
    CLOTH = "cloth"
    OTHER = "other"


@dataclass(frozen=True, slots=True)
class Guess(Generic[T]):
    """A value read from a drawing.

    Attributes
    ----------
    value : T
    confidence : float
        Probability that it is what was meant, in [0, 1].
    """

    value: T
    confidence: float


@dataclass(frozen=True, slots=True, eq=False)
class FrameOnPage:
    """A drawn frame, straightened.

    Attributes
    ----------
    corners : (4, 2) float array
        x and y on the page in pixels: upper left, upper right, lower right, lower left.
    aspect_ratio : float
        Width over height, corrected for the perspective of the photograph.
    ink : (H, W) float array
        Darkness of what was drawn, in [0, 1], without the paper, its printed lines and its shadows.
        The frame's own lines run along the borders of the array. Its long side has
        `auditor.sketch.frames.LONG_SIDE_PX` pixels.
    surround : (h, w) float array
        The same with a margin of a quarter of the longer side around the frame, in which an arrow
        or a note may stand; white (0) where another frame begins.
    """

    corners: NDArray[np.float64]
    aspect_ratio: float
    ink: NDArray[np.float32]
    surround: NDArray[np.float32]


@dataclass(frozen=True, slots=True)
class DrawnThing:
    """An outline in a frame, with whatever is drawn inside it.

    Attributes
    ----------
    centre : Point
        Centroid of the closed outline.
    box : Box
    area_fraction : float
        Share of the frame within the outline.
    shape : Shape
    axis_ratio : float or None
        Of an oval: minor over major axis in pixels of the straightened frame.
    axis_angle_deg : float or None
        Of an oval: direction of its major axis.
    confidence : float
        Probability that it is a thing and not a stray line, in [0, 1].
    """

    centre: Point
    box: Box
    area_fraction: float
    shape: Shape
    axis_ratio: float | None
    axis_angle_deg: float | None
    confidence: float


@dataclass(frozen=True, slots=True, eq=False)
class DrawnFrame:
    """What one frame shows; None where it shows nothing of a kind.

    Attributes
    ----------
    page : FrameOnPage
    technique : Guess of str or None
        A name from `auditor.vocabulary.techniques`, where the lines of its grid are drawn.
    subject : DrawnThing or None
    supporting : tuple of DrawnThing
        Largest first.
    camera_elevation_deg : Guess of float or None
    light_clock : Guess of float or None
    empty_fraction : Guess of float or None
    empty_side : Guess of Side or None
    notes : tuple of Box
        Where handwriting stands in the frame.
    """

    page: FrameOnPage
    technique: Guess[str] | None
    subject: DrawnThing | None
    supporting: tuple[DrawnThing, ...]
    camera_elevation_deg: Guess[float] | None
    light_clock: Guess[float] | None
    empty_fraction: Guess[float] | None
    empty_side: Guess[Side] | None
    notes: tuple[Box, ...]
