"""Advice as the page shows it: its sentence, and the picture before and after."""

from __future__ import annotations

from dataclasses import dataclass
from urllib.parse import quote

from auditor.output.previews import PICTURES_FOLDER, Preview
from auditor.page.drawing import shapes
from auditor.page.drawing.layers import Frame
from auditor.record.advice_record import AdviceRecord

WHOLE = (0.0, 0.0, 1.0, 1.0)


@dataclass(frozen=True, slots=True)
class Crop:
    """A crop drawn over the picture: what is cut off, and the edge of what stays."""

    width: int
    height: int
    outside: str
    edge: str


@dataclass(frozen=True, slots=True)
class After:
    """The picture after the change: its percent-encoded address and its sides in pixels."""

    large: str
    width: int
    height: int
    ratio: str


@dataclass(frozen=True, slots=True)
class AdviceView:
    """One thing to do.

    `crop` is drawn over the picture before; `after` is None where no picture was written.
    """

    sentence: str
    crop: Crop | None
    after: After | None


def advice_view(advice: AdviceRecord, preview: Preview | None) -> AdviceView:
    """Make the page's data of one advice."""
    if preview is None:
        return AdviceView(advice.message, None, None)
    return AdviceView(advice.message, _crop(advice, preview), _after(advice, preview))


def _crop(advice: AdviceRecord, preview: Preview) -> Crop | None:
    """The crop over the picture; after a turn its edges are not those of the picture before."""
    is_turned = advice.change is not None and advice.change.turn_deg != 0
    if advice.crop is None or tuple(advice.crop) == WHOLE or is_turned:
        return None
    frame = Frame(preview.width, preview.height)
    edge = shapes.rectangle(frame.box(advice.crop))
    whole = shapes.rectangle(frame.box(WHOLE))
    return Crop(frame.width, frame.height, whole + edge, edge)


def _after(advice: AdviceRecord, preview: Preview) -> After | None:
    if advice.preview is None:
        return None
    left, top, right, bottom = advice.crop or WHOLE
    width, height = (right - left) * preview.width, (bottom - top) * preview.height
    address = f"{PICTURES_FOLDER}/{quote(advice.preview)}"
    return After(address, round(width), round(height), f"{width / height:.4f}")
