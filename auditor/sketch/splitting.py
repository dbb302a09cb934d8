"""Things that touch or overlap on the paper, taken apart.

A hand draws a rim in one go, and a stroke carries on straight where another crosses it. So a
closed stroke that is an oval is a thing of its own even where a spoon lies over it or a cloth goes
on behind it. Outlines that only touch have a short and narrow neck where they meet.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray
from PIL import Image, ImageDraw
from scipy import ndimage

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
# clear of its rim, and not much of it runs along the rim, as the side of a bowl does.
CROSSING_SHARE, CROSSING_PX, CLEAR_PX, MOST_ON_RIM = 0.12, 8.0, 7, 0.4
LEAST_PART_PX = 40  # ink of a part that is worth taking off
# Where two outlines touch, the neck is at most twice this wide, and the parts so many times wider;
# a part is at least this share of the frame and of both together, and the neck no longer than this.
NECKS_PX, WIDER_THAN_NECK = (6, 10, 14, 18, 22), 2.2
LEAST_LOBE, LEAST_LOBE_SHARE, LONGEST_NECK_PX = 0.003, 0.07, 9.0
MOST_LOBES = 4  # more are one thing: grapes, petals


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
        mask = _polygon(stroke.points, shape)
        rows, columns = np.flatnonzero(mask.any(axis=1)), np.flatnonzero(mask.any(axis=0))
        if rows.size < 5 or columns.size < 5:
            continue
        cut = mask[rows[0] : rows[-1] + 1, columns[0] : columns[-1] + 1]
        if oval_of(cut).overlap >= LEAST_OVAL:
            masks.append(mask)
    return sorted(masks, key=lambda mask: -int(mask.sum()))


def _polygon(points: NDArray[np.float64], shape: tuple[int, int]) -> Mask:
    image = Image.new("1", (shape[1], shape[0]))
    ImageDraw.Draw(image).polygon([(x - 0.5, y - 0.5) for x, y in points.tolist()], fill=1)
    return np.asarray(image)


def crossing_ink(strokes: Sequence[Stroke], ovals: Sequence[Mask]) -> Mask | None:
    """Ink of the strokes that cross an oval, as far as it lies outside; None without ovals.

    What crosses the rim of an oval lies over it or behind it, and is another thing.
    """
    if not ovals:
        return None
    apart = np.zeros_like(ovals[0])
    for oval in ovals:
        inside = ndimage.distance_transform_cdt(oval) > CLEAR_PX
        away = ndimage.distance_transform_cdt(~oval)
        outside, far = away > RIM_PX, away > CLEAR_PX
        for stroke in strokes:
            columns, rows = stroke.points.astype(np.intp).T
            n_inside, n_outside = inside[rows, columns].sum(), far[rows, columns].sum()
            least = max(CROSSING_PX, CROSSING_SHARE * len(rows))
            on_rim = 1 - (n_inside + outside[rows, columns].sum()) / len(rows)
            if min(n_inside, n_outside) >= least and on_rim < MOST_ON_RIM:
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


def split_at_necks(outline: Outline, frame_px: int) -> list[Mask]:
    """Ink of the outlines that touch each other, within the window; one part where none do.

    Parameters
    ----------
    outline : Outline
    frame_px : int
        Area of the frame.
    """
    least = max(LEAST_LOBE * frame_px, LEAST_LOBE_SHARE * outline.area)
    if outline.area < 2 * least:
        return [outline.ink]
    depth = ndimage.distance_transform_edt(np.pad(outline.filled, 1))[1:-1, 1:-1]
    for neck in NECKS_PX:
        labels, n_lobes = ndimage.label(depth > neck)
        sizes = np.bincount(labels.ravel(), minlength=n_lobes + 1)
        deepest = ndimage.maximum(depth, labels, np.arange(n_lobes + 1))
        lobes = [
            i
            for i in range(1, n_lobes + 1)
            if sizes[i] >= least / 2 and deepest[i] >= WIDER_THAN_NECK * neck
        ]
        if 2 <= len(lobes) <= MOST_LOBES:
            return _by_lobe(outline, labels, lobes, 2 * neck + LONGEST_NECK_PX)
    return [outline.ink]


def _by_lobe(
    outline: Outline, labels: NDArray[np.intp], lobes: list[int], longest: float
) -> list[Mask]:
    """Ink by the nearest lobe; lobes farther apart than `longest` are joined by a stem."""
    away = np.stack([ndimage.distance_transform_edt(labels != i) for i in lobes])
    group = list(range(len(lobes)))
    for a in range(len(lobes)):
        for b in range(a):
            if away[a][labels == lobes[b]].min() > longest:
                old, new = group[a], group[b]
                group = [new if one == old else one for one in group]
    nearest = np.array(group)[away.argmin(axis=0)]
    return [outline.ink & (nearest == one) for one in sorted(set(group))]
