"""Things: outlines with whatever is drawn inside them or belongs to them."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy import ndimage

from auditor.sketch.canvas import Canvas, Mask
from auditor.sketch.shapes import Outline, Oval, faces, hull_area, oval_of, squareness

# A smaller outline is part of a larger one if this share of it lies within.
LEAST_INSIDE = 0.55
# Of the frame: a smaller piece, or one that encloses nothing, is a scrap; it belongs to the thing
# within this share of the diagonal, or forms one thing with other scraps as near as the second.
SCRAP_AREA, SCRAP_REACH, CLUSTER_REACH = 0.0025, 0.022, 0.03
LEAST_ENCLOSED = 0.25
# Shape of an outline (chosen on drawn frames): how much of its ellipse an oval covers, of its
# rectangle a cloth; what of a cloth is no line.
LEAST_OVAL, LEAST_SQUARE, MOST_OVAL_OF_CLOTH = 0.9, 0.84, 0.915
LEAST_CLOTH_AREA, LEAST_CLOTH_ENCLOSED, MOST_CLOTH_LENGTH = 0.02, 0.55, 3.0
LEAST_ON_CLOTH_AREA = 0.004
LEAST_CONVEX = 0.93  # of the convex hull
MOST_STICKING_OUT = 0.13  # beyond the body, of the root of the area: a corner does less
LEAST_RIM_AREA = 0.004  # of the frame; smaller ovals are berries and letters
OPENED_SHARE = 0.16  # of an outline's radius: handles thinner than this are no part of its oval


@dataclass(frozen=True, slots=True, eq=False)
class Thing:
    """One thing of the frame.

    Attributes
    ----------
    filled : (h, w) bool array
        On the canvas: its outer outline, filled.
    ink : (h, w) bool array
    body : Oval
        Of its largest outline without thin parts.
    rims : tuple of Oval
        Outlines and faces that are ovals, largest first.
    is_cloth : bool
    inner_ink : float
        Ink within its largest outline as a share of that: food, a pattern.
    """

    filled: Mask
    ink: Mask
    body: Oval
    rims: tuple[Oval, ...]
    is_cloth: bool
    inner_ink: float

    @property
    def area(self) -> int:
        """In px."""
        return int(self.filled.sum())


def group(canvas: Canvas, outlines: list[Outline]) -> list[Thing]:
    """Put outlines together to things.

    Parameters
    ----------
    canvas : Canvas
    outlines : list of Outline
        Largest first.
    """
    frame_px = canvas.width * canvas.height
    cloths = {i for i, one in enumerate(outlines) if _is_cloth(one, frame_px)}
    owner = list(range(len(outlines)))
    scraps = []
    for i, one in enumerate(outlines):
        host = _host(outlines, i, cloths, owner, frame_px)
        if host is not None:
            owner[i] = host
        elif one.area < SCRAP_AREA * frame_px or one.enclosed < LEAST_ENCLOSED:
            scraps.append(i)
    _place_scraps(canvas, outlines, owner, scraps)
    members: dict[int, list[int]] = {}
    for i, host in enumerate(owner):
        members.setdefault(_root(owner, host), []).append(i)
    things = [
        _thing(canvas, [outlines[i] for i in sorted(own)], is_cloth=root in cloths)
        for root, own in members.items()
    ]
    return sorted(things, key=lambda thing: -thing.area)


def _root(owner: list[int], i: int) -> int:
    while owner[i] != i:
        i = owner[i]
    return i


def _is_cloth(one: Outline, frame_px: int) -> bool:
    if one.area < LEAST_CLOTH_AREA * frame_px or one.enclosed < LEAST_CLOTH_ENCLOSED:
        return False
    body = opened(one.filled)
    sticks_out = ndimage.distance_transform_edt(~body)[one.filled].max()
    if sticks_out > MOST_STICKING_OUT * math.sqrt(one.area):  # a handle, a spout
        return False
    oval = oval_of(body)
    if one.area < LEAST_CONVEX * hull_area(one.filled):  # a handle as wide as the rest
        return False
    return (
        squareness(body) >= LEAST_SQUARE
        and oval.overlap < MOST_OVAL_OF_CLOTH
        and oval.ratio * MOST_CLOTH_LENGTH > 1
    )


def _host(
    outlines: list[Outline], i: int, cloths: set[int], owner: list[int], frame_px: int
) -> int | None:
    """The thing within which an outline lies; None where it lies alone or on a cloth."""
    one = outlines[i]
    for j in range(i - 1, -1, -1):  # the smallest that holds it
        if _inside(one, outlines[j]) < LEAST_INSIDE:
            continue
        root = _root(owner, j)
        is_thing = one.area >= LEAST_ON_CLOTH_AREA * frame_px and one.enclosed > LEAST_ENCLOSED
        if root in cloths and is_thing:
            return None
        return root
    return None


def _inside(one: Outline, other: Outline) -> float:
    """Share of an outline that lies within another."""
    top, bottom = max(one.rows.start, other.rows.start), min(one.rows.stop, other.rows.stop)
    left = max(one.columns.start, other.columns.start)
    right = min(one.columns.stop, other.columns.stop)
    if top >= bottom or left >= right:
        return 0.0
    a = one.filled[top - one.rows.start : bottom - one.rows.start,
                   left - one.columns.start : right - one.columns.start]  # fmt: skip
    b = other.filled[top - other.rows.start : bottom - other.rows.start,
                     left - other.columns.start : right - other.columns.start]  # fmt: skip
    return float((a & b).sum()) / max(1, one.area)


def _place_scraps(
    canvas: Canvas, outlines: list[Outline], owner: list[int], scraps: list[int]
) -> None:
    """Give each scrap to the thing beside it, and put those left together with each other."""
    if not scraps:
        return
    reach = SCRAP_REACH * canvas.diagonal
    whole = [i for i in range(len(outlines)) if owner[i] == i and i not in set(scraps)]
    left = []
    for i in scraps:
        near = [(_apart(outlines[i], outlines[j]), j) for j in whole]
        apart, host = min(near, default=(np.inf, i))
        if apart <= reach:
            owner[i] = host
        else:
            left.append(i)
    for n, i in enumerate(left):
        for j in left[:n]:
            if _apart(outlines[i], outlines[j]) <= CLUSTER_REACH * canvas.diagonal:
                a, b = _root(owner, i), _root(owner, j)
                owner[max(a, b)] = min(a, b)


def _apart(one: Outline, other: Outline) -> float:
    """Least distance of two outlines in px, from every third pixel of their ink."""
    gap = _box_gap(one, other)
    if gap > 60:
        return gap
    a, b = (
        np.argwhere(o.ink)[::3] + np.array((o.rows.start, o.columns.start)) for o in (one, other)
    )
    from scipy.spatial import cKDTree

    return float(cKDTree(b).query(a)[0].min())


def _box_gap(one: Outline, other: Outline) -> float:
    down = max(one.rows.start, other.rows.start) - min(one.rows.stop, other.rows.stop)
    across = max(one.columns.start, other.columns.start) - min(one.columns.stop, other.columns.stop)
    return float(np.hypot(max(0, down), max(0, across)))


def _thing(canvas: Canvas, own: list[Outline], *, is_cloth: bool) -> Thing:
    filled, ink = np.zeros_like(canvas.ink), np.zeros_like(canvas.ink)
    for one in own:
        filled[one.rows, one.columns] |= one.filled
        ink[one.rows, one.columns] |= one.ink
    main = own[0]
    frame_px = canvas.width * canvas.height
    inner = ndimage.binary_erosion(main.filled, iterations=6)
    inner_ink = ink[main.rows, main.columns] & inner
    return Thing(
        filled,
        ink,
        oval_of(opened(main.filled)),
        _rims(own, frame_px),
        is_cloth,
        float(inner_ink.sum()) / max(1.0, float(inner.sum())),
    )


def _rims(own: list[Outline], frame_px: int) -> tuple[Oval, ...]:
    rims = []
    for one in own:
        if one.area < LEAST_RIM_AREA * frame_px:
            continue
        rims.append(oval_of(opened(one.filled)))
        inner = [face for face in faces(one) if face.sum() >= LEAST_RIM_AREA * frame_px]
        rims += [oval_of(face, 1.5) for face in inner if face.sum() < 0.9 * one.area]
    ovals = [rim for rim in rims if rim.overlap >= LEAST_OVAL]
    return tuple(sorted(ovals, key=lambda rim: -rim.major))


def opened(filled: Mask) -> NDArray[np.bool_]:
    """A filled outline without what is thin: handles, the stem of a spoon."""
    radius = OPENED_SHARE * float(np.sqrt(filled.sum() / np.pi))
    padded = np.pad(filled, 2)
    kept = ndimage.distance_transform_edt(padded) > radius
    if not kept.any():
        return filled
    wide = ndimage.distance_transform_edt(~kept) <= radius
    return np.asarray((wide & padded)[2:-2, 2:-2])
