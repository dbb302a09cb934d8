"""The edge of the table: a level line from a side of the frame to the things or the other side.

It belongs to no thing, and would join those that it touches.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray
from scipy import ndimage

from auditor.sketch.canvas import Canvas, Mask
from auditor.sketch.ruled_lines import without_line
from auditor.sketch.strokes import Stroke

Floats = NDArray[np.float64]

EIGHT = np.ones((3, 3), dtype=np.bool_)
# Shares of the frame's width: how near to a side it begins, how long a piece of it is at least;
# straightness is chord over length, slope rise over run (our choice, no source).
# (an arrow for the light is as level and near the side, but shorter than its first piece).
FROM_SIDE, LEAST_LENGTH, FIRST_LENGTH = 0.035, 0.07, 0.17
LEAST_STRAIGHT, MOST_SLOPE = 0.97, 0.12
SAME_HEIGHT = 0.025  # of the frame: another piece of the same edge lies this near to its height
# What is left of the frame's own lines: pieces this near to a side and this thin, of its long side.
SIDE_BAND, LEAST_ELONGATION = 0.035, 3.0


def without_table_edge(canvas: Canvas, ink: Mask, strokes: Sequence[Stroke]) -> Mask:
    """The ink without the edge of the table; what crosses it stays."""
    level = [one for one in strokes if _is_level(canvas, one)]
    heights = [float(np.median(one.points[:, 1])) for one in level if _from_side(canvas, one)]
    for stroke in level:
        height = float(np.median(stroke.points[:, 1]))
        if any(abs(height - other) < SAME_HEIGHT * canvas.height for other in heights):
            ink = without_line(ink, stroke.points)
    return ink


def _is_level(canvas: Canvas, stroke: Stroke) -> bool:
    run, rise = np.abs(stroke.points[-1] - stroke.points[0])
    return bool(
        run >= LEAST_LENGTH * canvas.width
        and rise <= MOST_SLOPE * run
        and stroke.chord >= LEAST_STRAIGHT * stroke.length
    )


def _from_side(canvas: Canvas, stroke: Stroke) -> bool:
    x = stroke.points[[0, -1], 0] - canvas.margin
    near = FROM_SIDE * canvas.width
    if x.min() < -near or x.max() > canvas.width + near or np.ptp(x) < FIRST_LENGTH * canvas.width:
        return False
    return bool(x.min() < near or x.max() > canvas.width - near)


def without_remains(canvas: Canvas, ink: Mask) -> Mask:
    """The ink without thin pieces along the frame's sides, left of its own lines."""
    band = SIDE_BAND * max(canvas.width, canvas.height)
    m, w, h = canvas.margin, canvas.width, canvas.height
    labels, n_labels = ndimage.label(ink, EIGHT)
    remains = np.zeros(n_labels + 1, dtype=np.bool_)
    for label, (rows, columns) in enumerate(ndimage.find_objects(labels), start=1):
        height, width = rows.stop - rows.start, columns.stop - columns.start
        along_side = any(
            abs(rows.start - at) < band and abs(rows.stop - at) < band for at in (m, m + h)
        )
        along_end = any(
            abs(columns.start - at) < band and abs(columns.stop - at) < band for at in (m, m + w)
        )
        remains[label] = (along_side and width > LEAST_ELONGATION * height) or (
            along_end and height > LEAST_ELONGATION * width
        )
    return np.asarray(ink & ~remains[labels])
