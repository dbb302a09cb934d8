"""Pieces that lie on a thing: berries on a cake, cubes in a soup, garnish on a plate.

They cast shadows on the thing as things do on the table. In a close-up of one dish there are no
other shadows. A piece differs in colour from most of the thing by more than shade does, and is
compact: a rim, the side of a cake or a smear of sauce casts no shadow of its own shape.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import cast

import numpy as np
from scipy import ndimage

from auditor.measurements.light.scene import (
    LitScene,
    Mask,
    Surroundings,
    Thing,
    dilated,
    has_commonest_colour,
)

OUTLINE_PX = 3  # left out along a thing's outline: rims, and table inside the mask
MIN_INSIDE_PX = 260  # a smaller thing has no room for pieces and their shadows
MIN_GROUND_PX = 130
MIN_PIECE_PX = 20  # a smaller one has no clear ellipse
MAX_SHARE = 0.15  # of the thing: a larger part is its other half, not a piece
MIN_FILL = 0.68  # of the ellipse in a piece's box; a disc fills it, a ring or a splash does not
MAX_STRETCH = 2.5  # longer to shorter side of the box
MAX_BESIDE_OUTLINE = 0.15  # of a round piece's outline, along that of the thing: more is its rim
N_PIECES = 6  # the largest; more cost time and add nothing
HALF_WEIGHT_GROUND_PX = 300


def pieces_on(
    scene: LitScene, whole: Thing, reach: float
) -> Iterator[tuple[Thing, Surroundings, float]]:
    """Find the largest compact pieces on a thing.

    Parameters
    ----------
    scene : LitScene
    whole : Thing
    reach : float
        Of the surroundings of a piece, in its radii.

    Yields
    ------
    tuple of Thing, Surroundings and float
        A piece, the part of the whole around it, and its weight in (0, 1).
    """
    inside = whole.inside(OUTLINE_PX)
    rows, columns = np.nonzero(inside)
    if rows.size < MIN_INSIDE_PX:
        return
    top, left = whole.box[0].start, whole.box[1].start
    seen = scene.pixels_at(rows + top, columns + left)
    differs = ~has_commonest_colour(rows, seen.chromaticity, seen.luminance_ev)
    if np.count_nonzero(differs) < MIN_PIECE_PX:
        return
    other = np.zeros_like(inside)
    other[rows[differs], columns[differs]] = True
    other = dilated(~dilated(~other, 1), 1)  # thin lines are edges, not pieces
    rows, columns = np.nonzero(inside & ~dilated(other, 1))
    if rows.size < MIN_GROUND_PX:
        return
    rows, columns = rows + top, columns + left
    dish = scene.pixels_at(rows, columns)
    for mask, box in _compact_parts(other, inside):
        place = (_shifted(box[0], top), _shifted(box[1], left))
        piece = scene.thing(mask, place)
        around = scene.around(piece, reach, dish)
        n_px = around.rows.size
        yield piece, around, n_px / (n_px + HALF_WEIGHT_GROUND_PX)


def _compact_parts(other: Mask, inside: Mask) -> list[tuple[Mask, tuple[slice, slice]]]:
    labels, n_parts = ndimage.label(other)
    if n_parts == 0:
        return []
    sizes = np.bincount(labels.ravel())
    edge = inside & dilated(np.pad(~inside, 1, constant_values=True), 1)[1:-1, 1:-1]
    beside = np.bincount(labels[edge], minlength=n_parts + 1)
    boxes = cast("list[tuple[slice, slice]]", ndimage.find_objects(labels))
    largest = MAX_SHARE * np.count_nonzero(inside)
    parts: list[tuple[Mask, tuple[slice, slice]]] = []
    for part in (1 + np.argsort(-sizes[1:], kind="stable")).tolist():
        if len(parts) == N_PIECES or sizes[part] < MIN_PIECE_PX:
            break
        box = boxes[part - 1]
        if sizes[part] <= largest and _is_compact(box, int(sizes[part]), int(beside[part])):
            parts.append((labels[box] == part, box))
    return parts


def _is_compact(box: tuple[slice, slice], size: int, beside_outline: int) -> bool:
    height, width = box[0].stop - box[0].start, box[1].stop - box[1].start
    if max(height, width) > MAX_STRETCH * min(height, width):
        return False
    outline = 2 * math.sqrt(math.pi * size)
    return (
        size >= MIN_FILL * math.pi / 4 * height * width
        and beside_outline <= MAX_BESIDE_OUTLINE * outline
    )


def _shifted(side: slice, by: int) -> slice:
    return slice(side.start + by, side.stop + by)
