"""Long thin things: the pieces into which they were split, joined again.

The distance from the outline hardly varies along a spoon or a knife, so that the watershed of
`splitting` cuts it at chance places, and the finder's map may be interrupted along its handle.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy import ndimage

from auditor.geometry import moments_of

# All chosen on 60 rendered tables with cutlery, glasses and napkins of the family `teaching-thin`.
MIN_LENGTH_RATIO = 3.5  # length over width, from which a connected part is one rod
MIN_PIECE_RATIO = 2.5  # the same for a piece that others in line with it may continue
GAP_FRACTION = 0.03  # of the diagonal: largest gap between pieces of one rod
ACROSS_FRACTION = 0.012  # of the diagonal: least offset across a rod that is still in line with it
MIN_ALIGNMENT = 0.94  # cosine of the angle between pieces of one rod, 20 degrees
MAX_HEAD_SHARE = 0.6  # length of a spoon's bowl over that of its handle
MAX_AREA_RATIO = 6.0  # of a continuing piece over the rod
MIN_PIECE_PX = 6  # of the maps; smaller pieces have no direction

Mask = NDArray[np.bool_]
Labels = NDArray[np.int32]
Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Piece:
    """A piece by its moments; lengths in px, of a rectangle with the same moments."""

    middle: Floats
    direction: Floats
    length: float
    width: float
    n_px: int

    @property
    def is_long(self) -> bool:
        """Whether other pieces may continue it."""
        return self.length > MIN_PIECE_RATIO * self.width


def with_whole_rods(parts: Labels, mask: Mask, diagonal_px: float) -> Labels:
    """Give every long thin thing one label.

    Parameters
    ----------
    parts : (h, w) int32 array
        Labels of the parts of a mask; 0 outside it.
    mask : (h, w) bool array
    diagonal_px : float
        Of the maps.
    """
    labels = parts.copy()
    connected, _ = ndimage.label(mask, structure=np.ones((3, 3)))
    for number, window in enumerate(ndimage.find_objects(connected), 1):
        part = connected[window] == number
        piece = _piece(part)
        if piece is not None and piece.length > MIN_LENGTH_RATIO * piece.width:
            labels[window][part] = parts[window][part].max()
    return _continued(labels, diagonal_px)


def _continued(labels: Labels, diagonal_px: float) -> Labels:
    """Join the pieces that continue a long one."""
    pieces: dict[int, Piece] = {}
    for number, window in enumerate(ndimage.find_objects(labels), 1):
        if window is not None:
            piece = _piece(labels[window] == number, (window[1].start, window[0].start))
            if piece is not None:
                pieces[number] = piece
    new_label = np.arange(int(labels.max()) + 1, dtype=np.int32)
    for rod, long in pieces.items():
        for other, piece in pieces.items():
            if long.is_long and other != rod and _continues(piece, long, diagonal_px):
                new_label[new_label == new_label[other]] = new_label[rod]
    return new_label[labels]


def _continues(piece: Piece, rod: Piece, diagonal_px: float) -> bool:
    """Whether a piece lies in line with a rod, close to one of its ends."""
    along = abs(float((piece.middle - rod.middle) @ rod.direction))
    normal = np.array([-rod.direction[1], rod.direction[0]])
    across = abs(float((piece.middle - rod.middle) @ normal))
    if piece.is_long:
        fits = abs(float(piece.direction @ rod.direction)) > MIN_ALIGNMENT
    else:
        fits = piece.length < MAX_HEAD_SHARE * rod.length
    gap = along - (rod.length + piece.length) / 2
    return (
        fits
        and piece.n_px <= MAX_AREA_RATIO * rod.n_px
        and gap < GAP_FRACTION * diagonal_px
        and across < max(rod.width, ACROSS_FRACTION * diagonal_px)
    )


def _piece(mask: Mask, offset: tuple[int, int] = (0, 0)) -> Piece | None:
    """Moments of a mask whose first column and row are at an offset; None if it is too small."""
    rows, columns = np.nonzero(mask)
    if rows.size < MIN_PIECE_PX:
        return None
    moments = moments_of(columns, rows)
    # A rectangle with the same moments: 12 times the variance along a side is its square.
    length, width = math.sqrt(12) * moments.long, math.sqrt(12) * moments.short
    middle = np.array(moments.middle) + np.array(offset)
    return Piece(middle, np.array(moments.direction), length, width, rows.size)
