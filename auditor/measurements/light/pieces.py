"""Pieces that lie on a thing: berries on a cake, dumplings on a plate, garnish in a bowl.

They throw shadows on what they lie on as things do on the table, and in a close picture of one
dish there are no others. A piece is what differs in colour from most of the thing.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import cast

import numpy as np
from scipy import ndimage

from auditor.measurements.light.scene import (
    GroundPixels,
    LitScene,
    Surroundings,
    Thing,
    near_colour,
)

OUTLINE_PX = 3  # of a thing, left out: rims, and what the mask has of the table
MIN_INSIDE_PX = 400  # a smaller thing has no room for pieces and their shadows
MIN_GROUND_PX = 200
MIN_PIECE_PX = 25
FULL_PIECE_PX = 80  # from here on the outline of a piece is known well enough
MAX_SHARE = 0.4  # of the thing: what covers more is its other half, not a piece
N_PIECES = 4  # the largest; more cost time and say the same


def pieces_on(
    scene: LitScene, whole: Thing, reach: float
) -> Iterator[tuple[Thing, Surroundings, float]]:
    """Largest pieces on a whole, what they lie on around each, and their weight."""
    inside = whole.inside(OUTLINE_PX)
    n_inside = np.count_nonzero(inside)
    if n_inside < MIN_INSIDE_PX:
        return
    colours = scene.chromaticity[inside]
    other = np.zeros_like(inside)
    other[inside] = ~near_colour(colours, np.median(colours, axis=0))
    if np.count_nonzero(other) < MIN_PIECE_PX:
        return
    # Opened by 3 x 3 px: thin lines are edges, not pieces.
    opened = ndimage.maximum_filter(ndimage.minimum_filter(other, 3), 3)
    labels, n_pieces = ndimage.label(opened)
    rows, columns = np.nonzero(inside & ~ndimage.maximum_filter(opened, 3))
    if n_pieces == 0 or rows.size < MIN_GROUND_PX:
        return
    dish = GroundPixels(
        rows, columns, scene.luminance_ev[rows, columns], scene.chromaticity[rows, columns]
    )
    sizes = np.bincount(labels.ravel())
    sizes[0] = 0
    boxes = cast("list[tuple[slice, slice]]", ndimage.find_objects(labels))
    for piece in np.argsort(-sizes, kind="stable")[:N_PIECES].tolist():
        if sizes[piece] < MIN_PIECE_PX:
            return
        if sizes[piece] <= MAX_SHARE * n_inside:
            thing = scene.thing(labels == piece, boxes[piece - 1], int(sizes[piece]))
            around = scene.around(thing, reach, dish)
            yield thing, around, min(1.0, float(sizes[piece]) / FULL_PIECE_PX)
