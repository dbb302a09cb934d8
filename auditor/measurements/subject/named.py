"""The subject from an area named in the picture's metadata.

A large area frames a whole thing. A small one (a camera's focus area, a point) only points at a
thing; then the thing is the subject, not the area. An area of a camera chooses among the things
found and no more; one that a person drew may also show a thing that the finder misses.
"""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import NDArray
from scipy import ndimage

from auditor.geometry import Box, Point
from auditor.measurements.subject.found import FoundSubject, found_subject
from auditor.measurements.subject.measure import (
    MIN_SHARE,
    THING_PROBABILITY,
    has_rivals,
    map_confidence,
)
from auditor.measurements.subject.silhouette import (
    Labels,
    Mask,
    Silhouette,
    distance_px,
    filled,
    pixel_positions,
)

AREA_FILL = 0.2  # of a named area: if things fill less of it, it does not frame them; no source
HELD_SHARE = 0.5  # of a thing: an area that holds more frames it, else the area points at it
# Of the frame: a larger area without a thing frames something that the finder misses; a smaller one
# may be a focus area beside its thing. A judgement: a fifth of each side.
POINTER_AREA_FRACTION = 0.04
POINTER_REACH_FRACTION = 0.1  # of the diagonal: things further off are not meant; no source
POINT_RADIUS_FRACTION = 0.05  # of the diagonal: the disc used for a point near no thing

# Probability that the centroid is within `TOLERANCE`, from tests/benchmarks/check_named_subject.py
# on 238 validation tables. If the area points at a part of the finder's subject, the finder's own
# confidence holds (stated 0.987, right 0.989). Whether the named thing is what the photographer
# meant cannot be measured here.
HELD_CONFIDENCE = 0.95  # an area that frames a thing: 0.97 were right; lower, as people draw worse
# The area points at another thing: 0.90 were right. Set lower by judgement: if the metadata name a
# subject that the finder does not, its maps are less reliable.
OTHER_CONFIDENCE = 0.6
BARE_CONFIDENCE = 0.5  # things nearby, and areas on bare ground: 0.60 were right; set lower too


def subject_from_metadata(
    box: Box,
    subject_map: NDArray[np.float32],
    elements_map: NDArray[np.float32],
    *,
    is_point: bool,
    is_by_camera: bool,
) -> FoundSubject | None:
    """Take the subject from an area named in the picture's metadata; the maps give its shape.

    The finder's subject has precedence, then any other placed thing. If the area holds most of the
    thing on which it lies, the subject is all things that it holds, else that thing alone. What a
    person draws may cut a part from a thing. A small drawn area on bare ground refers to the
    nearest thing within reach; otherwise the subject is the drawn area, clipped to the frame.

    Parameters
    ----------
    box : Box
        May extend beyond the frame.
    subject_map, elements_map : (h, w) float32 arrays
        The finder's, in [0, 1], square pixels.
    is_point : bool
        True if only the centre of the box is meant.
    is_by_camera : bool
        True if the area was written by a camera, false if a person drew it.

    Returns
    -------
    FoundSubject or None
        None if a camera's area has no thing under it.
    """
    shape = subject_map.shape
    area = _pixel(box.centre, shape) if is_point else _within(box, shape)
    subject = filled(subject_map >= THING_PROBABILITY)
    others = (elements_map >= THING_PROBABILITY) & ~subject
    layers = (_subject_things(subject), Silhouette(others).lobes)
    for things in layers:
        thing = _thing_under(area, things, may_be_small=is_by_camera)
        if thing is None:
            continue
        if np.count_nonzero(area & thing) > HELD_SHARE * np.count_nonzero(thing):
            held = _held(area, things) if is_by_camera else area & (things > 0)
            return found_subject(held, HELD_CONFIDENCE)
        is_subject = things is layers[0]
        return found_subject(
            thing,
            map_confidence(subject_map, Silhouette(thing)) if is_subject else OTHER_CONFIDENCE,
        )
    if is_by_camera:
        return None
    near = None
    if is_point or box.area_fraction < POINTER_AREA_FRACTION:
        near = _nearest(box.centre, layers)
    if near is None:
        near = _disc(box.centre, shape) if is_point else area
    return found_subject(near, BARE_CONFIDENCE)


def _subject_things(subject: Mask) -> Labels:
    """The parts of the finder's subject; its lobes if they are rivals."""
    lobes = Silhouette(subject).lobes
    return lobes if has_rivals(lobes) else np.asarray(ndimage.label(subject)[0], dtype=np.int32)


def _thing_under(area: Mask, things: Labels, *, may_be_small: bool) -> Mask | None:
    """The thing on which most of an area lies; a small one counts if the area holds it."""
    within = np.bincount(things[area], minlength=int(things.max()) + 1)
    within[_is_speck(things)] = 0
    if within.sum() <= AREA_FILL * np.count_nonzero(area):
        within[~(_is_held(area, things) & may_be_small)] = 0
    if not within.any():
        return None
    return np.asarray(things == within.argmax(), dtype=np.bool_)


def _held(area: Mask, things: Labels) -> Mask:
    """All things of which an area holds most."""
    is_held = _is_held(area, things) & ~_is_speck(things)
    return np.asarray(is_held[things], dtype=np.bool_)


def _is_held(area: Mask, things: Labels) -> NDArray[np.bool_]:
    """For each label, whether an area holds most of it."""
    sizes = np.bincount(things.ravel())
    return np.asarray(np.bincount(things[area], minlength=sizes.size) > HELD_SHARE * sizes)


def _is_speck(things: Labels) -> NDArray[np.bool_]:
    """For each label, whether it is too small for a thing; true of the ground, label 0."""
    is_speck = np.bincount(things.ravel()) < MIN_SHARE * things.size
    is_speck[0] = True
    return np.asarray(is_speck, dtype=np.bool_)


def _nearest(point: Point, layers: tuple[Labels, Labels]) -> Mask | None:
    """The nearest thing within reach of a position, specks excluded."""
    away = distance_px(layers[0].shape, point)
    least, nearest = POINTER_REACH_FRACTION * math.hypot(*away.shape), None
    for things in layers:
        distance = np.where(_is_speck(things)[things], np.inf, away)
        place = np.unravel_index(distance.argmin(), distance.shape)
        if distance[place] < least:
            least, nearest = float(distance[place]), things == things[place]
    return nearest


def _within(box: Box, shape: tuple[int, ...]) -> Mask:
    """The pixels in a box, or the one at its centre if it is narrower than a pixel."""
    x, y = pixel_positions(shape)
    columns = (x >= box.left) & (x <= box.right)
    rows = (y >= box.top) & (y <= box.bottom)
    area = np.asarray(rows & columns, dtype=np.bool_)
    middle = box.centre
    in_frame = 0 <= middle.x <= 1 and 0 <= middle.y <= 1
    return area if area.any() or not in_frame else _pixel(middle, shape)


def _pixel(point: Point, shape: tuple[int, ...]) -> Mask:
    height, width = shape
    area = np.zeros(shape, dtype=np.bool_)
    row = min(max(int(point.y * height), 0), height - 1)
    column = min(max(int(point.x * width), 0), width - 1)
    area[row, column] = True
    return area


def _disc(point: Point, shape: tuple[int, ...]) -> Mask:
    return distance_px(shape, point) <= POINT_RADIUS_FRACTION * math.hypot(*shape)
