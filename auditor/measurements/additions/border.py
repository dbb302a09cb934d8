"""Borders: a margin of one colour around a picture, or along some of its sides.

The outermost lines of a side have one colour, and all along the side the picture begins at the same
line. A plain background has one colour too, but ends at the outlines of things; the edge of a table
is never that straight and that even.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray
from scipy.ndimage import label

from auditor.geometry import Box

MAX_DEPTH = 0.25
"""Share of the frame's side that a border takes at most."""

MIN_DEPTH_PX = 2
"""Least width of a border: one line may come from resizing."""

TOLERANCE = 14
"""Largest difference of a channel from the border's colour, 8-bit code values: JPEG leaves about
10 beside a hard edge."""

MAX_DEVIATION = 2.5
"""Mean difference from the border's colour: a drawn border has none but that of JPEG, and even the
plainest wall has more noise or a gradient."""

MIN_CLEAN = 0.97
"""Share of a side's columns in which nothing but the border's colour comes before the picture
begins; writing on a border interrupts it."""

MIN_ON_EDGE = 0.5
"""Share of the columns in which the picture begins at that line, to a pixel; in the others it has
the border's colour there."""

MIN_ON_OTHER_EDGE = 0.15
"""The same where another side has a border of that colour."""

EDGE_PX = 1
"""How far from a line the picture begins at it."""

MAX_LAYERS = 3
"""Borders within each other: white with a thin black line, for example."""

MAX_CORNER = 0.12
"""Side of the square in which a rounded corner is sought, relative to the shorter side."""

MIN_ROUND_CORNERS = 3
MIN_CORNER_PX = 4

LEAST_LEFT = 0.3
"""Share of each side of the frame that the picture keeps at least."""

LEAST_LEFT_PX = 48
"""Least side of the picture within: smaller pictures are not measured."""


@dataclass(frozen=True, slots=True)
class Border:
    """A border of one colour.

    Attributes
    ----------
    inside : Box
        The picture within the border, fractions of the frame.
    hex : str
        sRGB colour of the widest border, as ``#rrggbb``.
    has_round_corners : bool
        True if the picture's corners are cut off.
    """

    inside: Box
    hex: str
    has_round_corners: bool = False


@dataclass(frozen=True, slots=True)
class FoundBorder:
    """A border with its pixels.

    Attributes
    ----------
    border : Border
    rows, columns : slice
        Of the picture within, in px.
    corners : (h, w) bool array
        True on what is border within those rows and columns.
    """

    border: Border
    rows: slice
    columns: slice
    corners: NDArray[np.bool_]


@dataclass(frozen=True, slots=True)
class _Margins:
    left: int = 0
    top: int = 0
    right: int = 0
    bottom: int = 0

    @property
    def widest(self) -> int:
        return max(self.left, self.top, self.right, self.bottom)


def find_border(pixels: NDArray[np.uint8]) -> FoundBorder | None:
    """Find the border of (H, W, 3) uint8 sRGB pixels; None if there is none."""
    height, width = pixels.shape[:2]
    total, colour, widest = _Margins(), np.zeros(3), 0
    for _ in range(MAX_LAYERS):
        inner = _within(pixels, total)
        margins, layer_colour = _one_layer(inner)
        if margins.widest == 0:
            break
        if margins.widest > widest:
            widest, colour = margins.widest, layer_colour
        total = _Margins(
            total.left + margins.left,
            total.top + margins.top,
            total.right + margins.right,
            total.bottom + margins.bottom,
        )
    if total.widest == 0:
        return None
    rows = slice(total.top, height - total.bottom)
    columns = slice(total.left, width - total.right)
    n_rows, n_columns = rows.stop - rows.start, columns.stop - columns.start
    if n_rows < LEAST_LEFT * height or n_columns < LEAST_LEFT * width:
        return None
    if min(n_rows, n_columns) < LEAST_LEFT_PX:
        return None
    corners = _round_corners(pixels[rows, columns], colour)
    inside = Box(
        total.left / width,
        total.top / height,
        1 - total.right / width,
        1 - total.bottom / height,
    )
    name = "#" + "".join(f"{round(float(value)):02x}" for value in colour)
    return FoundBorder(Border(inside, name, bool(corners.any())), rows, columns, corners)


def _within(pixels: NDArray[np.uint8], margins: _Margins) -> NDArray[np.uint8]:
    height, width = pixels.shape[:2]
    return pixels[margins.top : height - margins.bottom, margins.left : width - margins.right]


def _one_layer(pixels: NDArray[np.uint8]) -> tuple[_Margins, NDArray[np.float64]]:
    """Widths of the outermost border on each side, all of the colour of the widest."""
    sides = dict(_sides(pixels))
    colours = {name: np.median(view[0], axis=0) for name, view in sides.items()}
    depths = {name: _depth(view, colours[name], MIN_ON_EDGE) for name, view in sides.items()}
    widest = max(depths, key=depths.__getitem__)
    if not depths[widest]:
        return _Margins(), colours[widest]
    colour = colours[widest]
    # Where one side has a border, another of the same colour needs less to show it.
    same = {
        name: _depth(view, colour, MIN_ON_OTHER_EDGE)
        for name, view in sides.items()
        if np.abs(colours[name] - colour).max() <= TOLERANCE
    }
    return replace(_Margins(), **same), colour


def _sides(pixels: NDArray[np.uint8]) -> Iterator[tuple[str, NDArray[np.uint8]]]:
    """Each side with the picture turned so that the side comes first."""
    yield "top", pixels
    yield "bottom", pixels[::-1]
    yield "left", pixels.transpose(1, 0, 2)
    yield "right", pixels[:, ::-1].transpose(1, 0, 2)


def _depth(view: NDArray[np.uint8], colour: NDArray[np.float64], least_on_edge: float) -> int:
    """Width in px of a border along the first rows; 0 if there is none.

    `least_on_edge` is the share of the columns in which the picture must begin at that line.
    """
    deepest = int(MAX_DEPTH * view.shape[0])
    # Most pictures end here: their outermost line has many colours.
    if deepest <= MIN_DEPTH_PX or _deviation(view[:1], colour) > MAX_DEVIATION:
        return 0
    differs = _differs(view[: deepest + 1], colour)
    begins = np.where(differs.any(axis=0), differs.argmax(axis=0), deepest + 1)
    clean = int(np.percentile(begins, 100 * (1 - MIN_CLEAN)))
    # Where the picture begins at one line, more columns begin there than anywhere else.
    most = int(np.bincount(begins, minlength=deepest + 2)[: deepest + 1].argmax())
    depth = most if abs(most - clean) <= EDGE_PX else clean
    is_border = (
        MIN_DEPTH_PX <= depth <= deepest
        and (np.abs(begins - depth) <= EDGE_PX).mean() >= least_on_edge
        and _deviation(view[: max(1, depth - 1)], colour) <= MAX_DEVIATION
    )
    # The first line of the picture may be mixed of both.
    return depth + 1 if is_border else 0


def _differs(lines: NDArray[np.uint8], colour: NDArray[np.float64]) -> NDArray[np.bool_]:
    """Where (h, w, 3) pixels differ from a colour in any channel, in unsigned bytes: fast."""
    whole = colour.astype(np.int16)
    low = np.maximum(whole - TOLERANCE, 0).astype(np.uint8)
    above = np.minimum(whole + TOLERANCE, 255).astype(np.uint8) - low
    # What lies below the lowest wraps to above the highest.
    differs: NDArray[np.bool_] = lines[..., 0] - low[0] > above[0]
    for channel in (1, 2):
        differs |= lines[..., channel] - low[channel] > above[channel]
    return differs


def _deviation(lines: NDArray[np.uint8], colour: NDArray[np.float64]) -> float:
    """Mean absolute difference from a colour, without the most different twentieth (writing)."""
    difference = np.abs(lines.astype(np.float64) - colour).mean(axis=2)
    return float(np.minimum(difference, np.percentile(difference, 95)).mean())


def _round_corners(pixels: NDArray[np.uint8], colour: NDArray[np.float64]) -> NDArray[np.bool_]:
    """True on the corners of a picture that have the border's colour."""
    corners = np.zeros(pixels.shape[:2], dtype=np.bool_)
    side = int(MAX_CORNER * min(pixels.shape[:2]))
    n_found = 0
    for down, across in ((1, 1), (1, -1), (-1, 1), (-1, -1)):
        square = pixels[::down, ::across][:side, :side].astype(np.float64)
        like = (np.abs(square - colour) <= TOLERANCE).all(axis=2)
        piece = label(like)[0]
        if piece.size and piece[0, 0]:
            corner = piece == piece[0, 0]
            # A plain part of the picture reaches the end of the square; a rounded corner does not.
            if corner.sum() >= MIN_CORNER_PX and not (corner[-1].any() or corner[:, -1].any()):
                corners[::down, ::across][:side, :side] |= corner
                n_found += 1
    return corners if n_found >= MIN_ROUND_CORNERS else np.zeros_like(corners)
