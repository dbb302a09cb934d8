"""The line drawn by one long thing: a baguette, a banana, a board, a roast, by its axis.

The edges of a long thing that tapers or bends are several lines, or none. Its axis is one.
"""

from __future__ import annotations

from auditor.geometry import diagonal_px
from auditor.mask_axis import MaskAxis
from auditor.measurements.diagonal.edges import EdgeLine
from auditor.measurements.diagonal.line_of_force import ends_on_frame, rated_division

# Length over width from which a thing has a direction at all, and from which the direction is
# plain. No source; a dish seen from above and a loaf are rounder, a banana or a board is longer.
MIN_ELONGATION = 1.5
FULL_ELONGATION = 2.2
MIN_LENGTH_FRACTION = 0.3  # of the frame's diagonal: a shorter thing is an accent, not a line
FULL_LENGTH_FRACTION = 0.75  # of the short side, from which the strength is full; as for edges


def long_thing(axis: MaskAxis, width: float, height: float) -> EdgeLine | None:
    """Rate the axis of a thing by its elongation, its length and its division of the frame.

    Parameters
    ----------
    axis : MaskAxis
        Slanted.
    width, height : float
        Of the frame; only their ratio matters.

    Returns
    -------
    EdgeLine or None
        None if the thing is short or nearly round.
    """
    plainness = (axis.elongation - MIN_ELONGATION) / (FULL_ELONGATION - MIN_ELONGATION)
    if plainness <= 0 or axis.length_fraction < MIN_LENGTH_FRACTION:
        return None
    through = axis.centre.x * width, axis.centre.y * height
    ends = ends_on_frame(through, axis.angle_deg, width, height)
    length_px = axis.length_fraction * diagonal_px(width, height)
    reach = min(1.0, length_px / (FULL_LENGTH_FRACTION * min(width, height)))
    strength = min(1.0, plainness) * reach * rated_division(ends)
    return EdgeLine(axis.angle_deg, ends, strength)
