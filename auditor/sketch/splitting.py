"""Things that touch or overlap on the paper, taken apart.

A hand draws a rim in one go, and a stroke carries on straight where another crosses it. So a
closed stroke that is an oval or a square is a thing of its own even where a spoon lies over it or
a cloth goes on behind it.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from scipy import ndimage
from skimage.draw import polygon2mask

from auditor.sketch.canvas import Mask
from auditor.sketch.shapes import EIGHT, Outline, oval_of
from auditor.sketch.strokes import Stroke

# A stroke is closed if its ends are this near, as a share of its length or in px.
CLOSED_SHARE, CLOSED_PX = 0.1, 7.0
LEAST_OVAL = 0.9
# Of a connected piece of drawing: an oval smaller than the first share is a part of it, one larger
# than the second is all of it.
LEAST_SHARE, MOST_SHARE = 0.15, 0.93
RIM_PX = 3  # ink this near to the oval's line is the oval's
# A stroke crosses an oval if this share of it, and this much of it in px, lie on either side.
CROSSING_SHARE, CROSSING_PX = 0.12, 8.0
LEAST_PART_PX = 40  # ink of a part that is worth taking off


def closed_ovals(strokes: Sequence[Stroke], shape: tuple[int, int]) -> list[Mask]:
    """Filled masks of the strokes that are closed and oval, largest first.

    Parameters
    ----------
    strokes : sequence of Stroke
    shape : (int, int)
        Of the canvas.
    """
    masks = []
    for stroke in strokes:
        if stroke.length < 60 or stroke.chord > max(CLOSED_PX, CLOSED_SHARE * stroke.length):
            continue
        mask = polygon2mask(shape, stroke.points[:, ::-1])
        rows, columns = np.flatnonzero(mask.any(axis=1)), np.flatnonzero(mask.any(axis=0))
        if rows.size < 5 or columns.size < 5:
            continue
        cut = mask[rows[0] : rows[-1] + 1, columns[0] : columns[-1] + 1]
        if oval_of(cut).overlap >= LEAST_OVAL:
            masks.append(mask)
    return sorted(masks, key=lambda mask: -int(mask.sum()))


def crossing_ink(strokes: Sequence[Stroke], ovals: Sequence[Mask]) -> Mask | None:
    """Ink of the strokes that cross an oval, as far as it lies outside; None without ovals.

    What crosses the rim of an oval lies over it or behind it, and is another thing.
    """
    if not ovals:
        return None
    apart = np.zeros_like(ovals[0])
    for oval in ovals:
        inside = ndimage.binary_erosion(oval, EIGHT, iterations=RIM_PX)
        outside = ~ndimage.binary_dilation(oval, EIGHT, iterations=RIM_PX)
        for stroke in strokes:
            columns, rows = stroke.points.astype(np.intp).T
            n_inside, n_outside = inside[rows, columns].sum(), outside[rows, columns].sum()
            least = max(CROSSING_PX, CROSSING_SHARE * len(rows))
            if min(n_inside, n_outside) >= least:
                keep = outside[rows, columns]
                apart[rows[keep], columns[keep]] = True
    return apart


def split(outline: Outline, ovals: Sequence[Mask], apart: Mask) -> list[Mask]:
    """Ink of the parts of an outline, on the canvas; one part where nothing crosses.

    Parameters
    ----------
    outline : Outline
    ovals : sequence of (h, w) bool array
    apart : (h, w) bool array
        From `crossing_ink`.
    """
    window = outline.rows, outline.columns
    main = _main_oval(outline, ovals)
    if main is None or not (apart[window] & outline.ink).any():
        return [outline.ink]
    near = ndimage.binary_dilation(main[window], EIGHT, iterations=RIM_PX)
    labels, n_parts = ndimage.label(outline.ink & ~near, EIGHT)
    taken = np.zeros_like(outline.ink)
    parts = []
    for label in range(1, n_parts + 1):
        part = labels == label
        if part.sum() >= LEAST_PART_PX and (part & apart[window]).any():
            parts.append(part)
            taken |= part
    return [outline.ink & ~taken, *parts]


def _main_oval(outline: Outline, ovals: Sequence[Mask]) -> Mask | None:
    for oval in ovals:
        within = int((oval[outline.rows, outline.columns] & outline.filled).sum())
        if within >= 0.95 * oval.sum():
            return (
                oval if LEAST_SHARE * outline.area <= within <= MOST_SHARE * outline.area else None
            )
    return None
