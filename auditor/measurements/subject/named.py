"""The subject from an area named in the picture's metadata.

The area chooses among the things found: a large one holds whole things, a small one (a camera's
focus area, a point) points at one. An area with nothing found under it chooses nothing.
"""

from __future__ import annotations

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
    filled,
    pixel_positions,
)

AREA_FILL = 0.2  # of a named area: if things fill less of it, it is not about them; no source
HELD_SHARE = 0.5  # of a thing: an area that holds more is about all of it; no source

# Probability that the centroid is within `TOLERANCE`, from tests/benchmarks/check_named_subject.py
# on 238 validation tables. If the area points at a part of the finder's subject, the finder's own
# confidence holds (stated 0.987, right 0.989). Whether the named thing is what the photographer
# meant cannot be measured here.
HELD_CONFIDENCE = 0.95  # an area that holds things: 0.97 were right; lower, as people draw worse
# The area points at another thing: 0.90 were right. Set lower by judgement: if the metadata name a
# subject that the finder does not, its maps are less reliable.
OTHER_CONFIDENCE = 0.6


def subject_from_metadata(
    box: Box,
    subject_map: NDArray[np.float32],
    elements_map: NDArray[np.float32],
    *,
    is_point: bool,
) -> FoundSubject | None:
    """Choose the subject among the things found, by an area named in the picture's metadata.

    The finder's subject has precedence, then any other placed thing. If the area holds most of the
    thing on which it lies, the subject is every thing that it holds, else that thing alone.

    Parameters
    ----------
    box : Box
        May extend beyond the frame.
    subject_map, elements_map : (h, w) float32 arrays
        The finder's, in [0, 1], square pixels.
    is_point : bool
        True if only the centre of the box is meant.

    Returns
    -------
    FoundSubject or None
        None if there is no thing under the area.
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
            return found_subject(_held(area, things), HELD_CONFIDENCE)
        is_subject = things is layers[0]
        return found_subject(
            thing,
            map_confidence(subject_map, Silhouette(thing)) if is_subject else OTHER_CONFIDENCE,
        )
    return None


def _subject_things(subject: Mask) -> Labels:
    """The parts of the finder's subject; its lobes if they are rivals."""
    lobes = Silhouette(subject).lobes
    return lobes if has_rivals(lobes) else np.asarray(ndimage.label(subject)[0], dtype=np.int32)


def _thing_in(area: Mask, things: Labels) -> Mask | None:
    """The thing on which most of an area lies; None if it lies on bare ground or on a speck."""
    within = np.bincount(things[area], minlength=int(things.max()) + 1)
    within[_is_speck(things)] = 0
    if within.sum() <= AREA_FILL * np.count_nonzero(area):
        return None
    return np.asarray(things == within.argmax(), dtype=np.bool_)


def _held(area: Mask, things: Labels) -> Mask:
    """All things of which an area holds most."""
    sizes = np.bincount(things.ravel())
    within = np.bincount(things[area], minlength=sizes.size)
    is_held = (within > HELD_SHARE * sizes) & ~_is_speck(things)
    return np.asarray(is_held[things], dtype=np.bool_)


def _is_speck(things: Labels) -> NDArray[np.bool_]:
    """For each label, whether it is too small for a thing; true of the ground, label 0."""
    is_speck = np.bincount(things.ravel()) < MIN_SHARE * things.size
    is_speck[0] = True
    return np.asarray(is_speck, dtype=np.bool_)


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
