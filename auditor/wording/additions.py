"""Words for what was put onto a picture: borders and writing."""

from __future__ import annotations

from auditor.record.addition_records import WritingRecord
from auditor.record.picture_record import MeasuredPictureRecord
from auditor.vocabulary.counts import count
from auditor.wording.cells import colour_text
from auditor.wording.numbers import percent
from auditor.wording.texts import capital, listed

FOOT, HEAD = 0.8, 0.2
"""Heights in the frame below and above which writing stands at the bottom or at the top."""

CORNER_WIDTH = 0.5
"""Width of a line up to which it stands in a corner, if it lies in one half."""

MIN_SLANT_DEG = 5.0

LEAST_WIDTH = 0.002
"""Width of a border, as a fraction of the frame, below which a side has none."""


def written_sentence(picture: MeasuredPictureRecord) -> str:
    """Say where writing was found."""
    places = listed(list(dict.fromkeys(_place(line) for line in picture.writing)))
    return f"The picture seems to carry writing, {places}. It was left out of the measurements."


def additions_words(picture: MeasuredPictureRecord) -> str:
    """What was put onto a picture, in short; empty if nothing was found."""
    parts = []
    if picture.border is not None:
        parts.append(_border_words(picture))
    if picture.writing:
        places = listed(list(dict.fromkeys(_place(line) for line in picture.writing)))
        parts.append(f"{count(len(picture.writing), 'line')} of writing, {places}")
    return "; ".join(parts)


def _border_words(picture: MeasuredPictureRecord) -> str:
    border = picture.border
    if border is None:
        return ""
    left, top, right, bottom = border.inside
    widths = {"left": left, "top": top, "right": 1 - right, "bottom": 1 - bottom}
    sides = {side: width for side, width in widths.items() if width >= LEAST_WIDTH}
    colour = colour_text(border.hex)
    if len(sides) == len(widths):
        return f"a border all around, {colour}, up to {percent(max(sides.values()))} of a side"
    named = listed(list(sides)) or "the edge"
    return f"a border at {named}, {colour}, up to {percent(max(sides.values(), default=0.0))}"


def _place(line: WritingRecord) -> str:
    xs, ys = [x for x, _ in line.corners], [y for _, y in line.corners]
    left, right, middle = min(xs), max(xs), sum(ys) / len(ys)
    if abs(line.angle_deg) >= MIN_SLANT_DEG:
        return "diagonally across it"
    where = "at the bottom" if middle >= FOOT else "at the top" if middle <= HEAD else ""
    if not where:
        return "across it"
    if right - left <= CORNER_WIDTH and (right <= CORNER_WIDTH or left >= 1 - CORNER_WIDTH):
        return f"{where} on the {'left' if right <= CORNER_WIDTH else 'right'}"
    return where


def additions_sentence(picture: MeasuredPictureRecord) -> str:
    """The same as a sentence, for those who cannot see the drawing; empty if nothing was found."""
    words = additions_words(picture)
    return f"{capital(words)}." if words else ""
