"""The model of one thing that would help a picture in the record."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field

from auditor.record.base import QuantityName, Record, Rectangle


class ChangeRecord(Record):
    """All that is done to a picture, in this order: turn, crop, colours.

    The turn is in degrees about the middle of the frame, clockwise positive; the frame keeps its
    size. `crop` is the rectangle to keep, in fractions of that frame, rounded to whole pixels.
    `mired` shifts the white point along the Planckian locus from D65, positive is warmer, by
    Bradford adaptation of linear sRGB; `exposure_ev` multiplies linear light by two to this power;
    `saturation` is a factor of the CIELAB chroma.
    """

    turn_deg: float = 0.0
    crop: Rectangle = (0.0, 0.0, 1.0, 1.0)
    mired: float = 0.0
    exposure_ev: float = 0.0
    saturation: float = 1.0


class CostRecord(Record):
    """What a correction takes from a picture.

    The amount is a share of the frame (frame, corners, highlights, shadows), a share of the
    element, or the pixels of a side (too small), which should have `limit`.
    """

    kind: Literal[
        "frame", "corners", "element_cut", "element_lost", "highlights", "shadows", "too_small"
    ]
    amount: float
    element: str | None = None
    limit: float | None = None


class AdviceRecord(Record):
    """One thing to do to a finished picture, tried in memory and measured again.

    `reaches` are planned quantities that then are met, `rejoins` quantities of the set that the
    picture then no longer leaves; `levels` says that a tilted picture is level then. Nothing that
    was met is lost. `width` and `height` are the pixels that remain, `kelvin` the colour
    temperature before and after where it changes. `preview` is the name of the picture after the
    change, in the folder ``pictures``. The message is the page's sentence.
    """

    kind: Literal["crop", "rotate", "colour temperature", "exposure", "saturation", "combined"]
    amount: float
    unit: str
    crop: Rectangle | None
    reaches: list[QuantityName]
    rejoins: list[QuantityName] = Field(default_factory=list)
    levels: bool = False
    change: ChangeRecord | None = None
    width: int | None = None
    height: int | None = None
    costs: list[CostRecord] = Field(default_factory=list)
    kelvin: tuple[float, float] | None = None
    preview: Annotated[str, Field(pattern=r"^[0-9]{4,}-[a-z0-9-]+\.jpg$")] | None = None
    message: str = ""
