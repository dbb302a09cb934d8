"""The subject from an area that the picture's metadata name.

An area about a whole thing is its frame. A small one (a camera's focus area, a point) only points
at a thing: the thing is the subject, not the area.
"""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import NDArray
from scipy import ndimage

from auditor.geometry import Box, Point
from auditor.measurements.subject.estimate import (
    LEAST_SHARE,
    THING_PROBABILITY,
    has_rivals,
    map_confidence,
)
from auditor.measurements.subject.found import FoundSubject, found
from auditor.measurements.subject.silhouette import (
    Labels,
    Mask,
    Silhouette,
    distance_px,
    filled,
    pixel_positions,
)

AREA_FILL = 0.2  # of a named area: where things fill less of it, it is not about them; no source
HELD_SHARE = 0.5  # of a thing: an area that holds more of it is about it, else points at it
# Of the frame: a larger area that lies on nothing is somebody's word about what the finder does
# not see; a smaller one may be a focus area beside its thing. A judgement: a fifth of each side.
POINTER_AREA_FRACTION = 0.04
POINTER_REACH_FRACTION = 0.1  # of the diagonal: what is further off is not pointed at; no source
POINT_RADIUS_FRACTION = 0.05  # of the diagonal: the disc taken about a point that is near nothing

# Probability that the centroid is within `TOLERANCE`, by tests/benchmarks/check_named_subject.py on
# 238 tables for choosing. Where a part of the finder's subject is pointed at, the finder's own
# confidence holds (stated 0.987, right 0.989). That what is named is what the photographer means
# nothing here can tell.
HELD_CONFIDENCE = 0.95  # an area about a thing: 0.97 were right; less, as people draw worse
# Another thing pointed at: 0.90 were right. A judgement below it: where somebody names as the
# subject what the finder does not, its maps are less to be trusted.
OTHER_CONFIDENCE = 0.6
BARE_CONFIDENCE = 0.5  # things nearby and areas on bare ground: 0.60 were right; a judgement below


def subject_from_metadata(
    box: Box,
    subject_map: NDArray[np.float32],
    elements_map: NDArray[np.float32],
    *,
    is_point: bool,
) -> FoundSubject:
    """Take the subject from an area that the picture's metadata name; the maps give its shape.

    What the finder takes for the subject comes first, then anything else that is placed in the
    frame. Of the thing on which most of the area lies the subject is the part within the area where
    the area holds most of the thing, else the whole thing. A small area on bare ground means the
    nearest thing within reach. What is left is the area itself, clipped to the frame.

    Parameters
    ----------
    box : Box
        May reach past the frame.
    subject_map, elements_map : (h, w) float32 arrays
        The finder's, in [0, 1], square pixels.
    is_point : bool
        Whether only the middle of the box is meant.
    """
    shape = subject_map.shape
    area = _pixel(box.centre, shape) if is_point else _within(box, shape)
    subject = filled(subject_map >= THING_PROBABILITY)
    others = (elements_map >= THING_PROBABILITY) & ~subject
    layers = (_subject_things(subject), Silhouette(others).lobes)
    for things in layers:
        thing = _thing_in(area, things)
        if thing is None:
            continue
        if np.count_nonzero(area & thing) > HELD_SHARE * np.count_nonzero(thing):
            return found(area & (things > 0), HELD_CONFIDENCE)
        is_subject = things is layers[0]
        return found(
            thing,
            map_confidence(subject_map, Silhouette(thing)) if is_subject else OTHER_CONFIDENCE,
        )
    near = None
    if is_point or box.area_fraction < POINTER_AREA_FRACTION:
        near = _nearest(box.centre, layers)
    if near is None:
        near = _disc(box.centre, shape) if is_point else area
    return found(near, BARE_CONFIDENCE)


def _subject_things(subject: Mask) -> Labels:
    """The parts of what the finder takes for the subject; lobes where they are rivals."""
    lobes = Silhouette(subject).lobes
    return lobes if has_rivals(lobes) else np.asarray(ndimage.label(subject)[0], dtype=np.int32)


def _thing_in(area: Mask, things: Labels) -> Mask | None:
    """The thing on which most of an area lies; None where it lies on bare ground."""
    within = np.bincount(things[area], minlength=1)
    within[0] = 0
    if within.sum() <= AREA_FILL * np.count_nonzero(area):
        return None
    return np.asarray(things == within.argmax(), dtype=np.bool_)


def _nearest(point: Point, layers: tuple[Labels, Labels]) -> Mask | None:
    """The thing nearest to a position and within reach of it, no speck."""
    away = distance_px(layers[0].shape, point)
    least, nearest = POINTER_REACH_FRACTION * math.hypot(*away.shape), None
    for things in layers:
        large = np.bincount(things.ravel()) >= LEAST_SHARE * things.size
        large[0] = False
        distance = np.where(large[things], away, np.inf)
        place = np.unravel_index(distance.argmin(), distance.shape)
        if distance[place] < least:
            least, nearest = float(distance[place]), things == things[place]
    return nearest


def _within(box: Box, shape: tuple[int, ...]) -> Mask:
    """The pixels in a box, its middle one if it is narrower than a pixel."""
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
