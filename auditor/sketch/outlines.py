"""Outlines: connected ink with its gaps closed and filled, and taken apart where they only cross.

Positions are x and y of the canvas in px.
"""

from __future__ import annotations

import numpy as np
from scipy import ndimage

from auditor.sketch.canvas import Canvas, Mask
from auditor.sketch.shapes import EIGHT, Outline, hull_area
from auditor.sketch.splitting import closed_ovals, crossing_ink, split
from auditor.sketch.strokes import Stroke

EDGE_PX = 6  # an outline whose ink ends this near to the frame's edge is cut off by it
MOST_OF_EDGE = 0.85  # a span longer than this share of an edge is no cut
# An open outline is closed by growing its ink, at most by this share of the frame's diagonal, until
# it encloses this share of its convex hull.
GROW, LEAST_FILL = 0.035, 0.5


def find_outlines(canvas: Canvas, closed: Mask, strokes: list[Stroke]) -> list[Outline]:
    """Connected pieces of the drawing in the frame, largest first.

    Parameters
    ----------
    closed : (h, w) bool array
        Ink of things on the canvas, gaps closed.
    strokes : list of Stroke
        Of that ink.
    """
    inside = np.zeros_like(closed)
    inside[canvas.inside] = closed[canvas.inside]
    labels, _ = ndimage.label(ndimage.binary_dilation(inside, EIGHT), EIGHT)
    labels *= inside
    found = [
        outline_of(canvas, labels[window] == label, window)
        for label, window in enumerate(ndimage.find_objects(labels), start=1)
    ]
    ovals = closed_ovals(strokes, closed.shape)
    apart = crossing_ink(strokes, ovals)
    if apart is not None:
        found = [part for one in found for part in _parts(canvas, one, ovals, apart)]
    return sorted(found, key=lambda one: -one.area)


def _parts(canvas: Canvas, one: Outline, ovals: list[Mask], apart: Mask) -> list[Outline]:
    """An outline, or what it falls into where a stroke crosses its oval."""
    parts = split(one, ovals, apart)
    if len(parts) == 1:
        return [one]
    return [outline_of(canvas, part, (one.rows, one.columns)) for part in parts]


def outline_of(canvas: Canvas, ink: Mask, window: tuple[slice, slice]) -> Outline:
    """Close and fill a connected piece of ink.

    Parameters
    ----------
    canvas : Canvas
    ink : (h, w) bool array
        Within the window.
    window : (slice, slice)
        Rows and columns of the canvas.
    """
    filled = ndimage.binary_fill_holes(_closed_along_edges(canvas, ink, window))
    hull = hull_area(filled)
    grow = round(GROW * canvas.diagonal)
    if filled.sum() < LEAST_FILL * hull:
        filled = _grown_closed(ink, filled, grow, hull)
    return Outline(window[0], window[1], filled, ink)


def _closed_along_edges(canvas: Canvas, ink: Mask, window: tuple[slice, slice]) -> Mask:
    """The ink with the stretch of the frame's edge between two cut ends of an outline."""
    rows, columns = window
    closed = ink.copy()
    m = canvas.margin
    for at_edge, axis, length in (
        (rows.start - m < EDGE_PX, 0, canvas.width),
        (m + canvas.height - rows.stop < EDGE_PX, 1, canvas.width),
        (columns.start - m < EDGE_PX, 2, canvas.height),
        (m + canvas.width - columns.stop < EDGE_PX, 3, canvas.height),
    ):
        if at_edge:
            side = np.rot90(closed, {0: 0, 1: 2, 2: 3, 3: 1}[axis])  # a view: the edge on top
            touching = np.flatnonzero(side[:2].any(axis=0))
            if touching.size and touching[-1] - touching[0] < MOST_OF_EDGE * length:
                side[0, touching[0] : touching[-1] + 1] = True
    return closed


def _grown_closed(ink: Mask, filled: Mask, most: int, hull: float) -> Mask:
    """The first closing of the ink that encloses something; the filled ink where none does."""
    padded = np.pad(ink, most + 2)
    away = ndimage.distance_transform_edt(~padded)
    for radius in np.linspace(most / 4, most, 4):
        body = ndimage.binary_fill_holes(away <= radius)
        closed = ndimage.distance_transform_edt(body) > radius
        closed = closed[most + 2 : -most - 2, most + 2 : -most - 2] | ink
        if closed.sum() >= LEAST_FILL * hull:
            return np.asarray(closed)
    return filled
