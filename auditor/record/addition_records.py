"""The models of what was put onto a picture: border and writing."""

from __future__ import annotations

from auditor.record.base import Estimated, HexColour, Position, Rectangle


class BorderRecord(Estimated):
    """A border of one colour; tolerance of each edge of `inside`, as a fraction of the frame.

    Positions in the record are fractions of the whole frame, with the border; shares (of the
    subject, of empty space, of colours and tones) are those of the picture inside.
    """

    inside: Rectangle
    hex: HexColour
    has_round_corners: bool


class WritingRecord(Estimated):
    """A line of writing put onto the picture; tolerance of its middle, fraction of the diagonal.

    The corners go round from the upper left one as the line is read. It is left out of all
    measurements.
    """

    corners: list[Position]
    angle_deg: float
