"""One thing to do to a finished picture, as it was tried."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from auditor.corrections import Change
from auditor.geometry import Box


class AdviceKind(StrEnum):
    """What can be done to a finished picture."""

    CROP = "crop"
    ROTATE = "rotate"
    COLOUR_TEMPERATURE = "colour temperature"
    EXPOSURE = "exposure"
    SATURATION = "saturation"
    COMBINED = "combined"


class CostKind(StrEnum):
    """What a correction takes from a picture."""

    FRAME = "frame"  # cut off by a crop
    CORNERS = "corners"  # lost by a turn
    ELEMENT_CUT = "element_cut"
    ELEMENT_LOST = "element_lost"
    HIGHLIGHTS = "highlights"  # clipped more than before
    SHADOWS = "shadows"  # clipped more than before
    TOO_SMALL = "too_small"  # for the delivery


@dataclass(frozen=True, slots=True)
class Cost:
    """What a correction takes from a picture.

    Attributes
    ----------
    kind : CostKind
    amount : float
        Share of the frame (frame, corners, highlights, shadows), share of the element, or pixels
        that a side has (too small).
    element : str or None
        Name of the planned element; None for one that the plan does not name.
    limit : float or None
        Pixels that this side must have (too small).
    """

    kind: CostKind
    amount: float
    element: str | None = None
    limit: float | None = None


@dataclass(frozen=True, slots=True)
class Advice:
    """One thing to do, or several together, tried in memory and measured again.

    Attributes
    ----------
    kind : AdviceKind
    amount : float
        crop: share of the frame that is kept; rotate: degrees, clockwise positive; colour
        temperature: mired to add to the picture's (positive is warmer); exposure: EV to add;
        saturation: factor; combined: share of the frame that is kept.
    unit : str
        ``"fraction of frame"``, ``"deg"``, ``"mired"``, ``"EV"`` or ``"times"``.
    crop : Box or None
        The rectangle to keep, as fractions of the frame after the turn; None for all of it.
    reaches : tuple of str
        Planned quantities in which the picture then is as planned.
    rejoins : tuple of str
        Followed quantities in which the picture then no longer leaves the set.
    levels : bool
        Whether a picture that was tilted is level then.
    change : Change or None
        All that is done, in numbers.
    width, height : int or None
        Pixels that remain.
    costs : tuple of Cost
    kelvin : tuple of float or None
        Colour temperature before and after, where it changes and is known.
    preview : str or None
        Name of the small picture after the change, beside the previews; None if none is written.
    """

    kind: AdviceKind
    amount: float
    unit: str
    crop: Box | None = None
    reaches: tuple[str, ...] = ()
    rejoins: tuple[str, ...] = ()
    levels: bool = False
    change: Change | None = None
    width: int | None = None
    height: int | None = None
    costs: tuple[Cost, ...] = ()
    kelvin: tuple[float, float] | None = None
    preview: str | None = None
