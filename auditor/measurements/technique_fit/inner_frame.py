"""Frame within a frame: things or tones that close the picture in around the subject.

From the sides of the picture rays run in to the subject's box. A ray meets a frame where it begins
in something that reaches to the picture's edge and crosses open ground before the subject: a placed
thing cut off by the edge, or an area darker or lighter than the open ground with an edge of its own
(a doorway, the rim of a crate, a dark foreground). A fall-off of the light has no edge and is no
frame. A side is closed where most of its rays meet one, and the frame has three closed sides at
least. Tones count only where they are far apart and part suddenly: on 500 photographs of the ECSSD
set and 167 finished food photographs nothing less told a frame from a ground that changes.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from auditor.colorimetry import lab_from_pixels, on_grid
from auditor.geometry import Box, Point, Region, distance_fraction
from auditor.measurements.technique_fit.fit import TechniqueFit
from auditor.measurements.technique_fit.reduction import reduced

Floats = NDArray[np.float32]
Mask = NDArray[np.bool_]

SIDE_PX = 96  # longest side
MIN_TONE_STEP = 25.0  # CIELAB lightness: as from middle grey to a shadow two stops darker
SAME_TONE_SHARE = 0.5  # of the step: so far a ray is still in the tone that it began in
EDGE_PX = 3  # a tone that has not changed within so many is a fall-off
CHANGED_SHARE = 0.25  # of the step: nearer to the open ground's tone it has changed
MIN_GAP_FRACTION = 0.02  # of the longest side: open ground between subject and frame
MAX_DEPTH_FRACTION = 0.4  # of the picture's side; what is deeper is the ground itself
CLOSED_SHARE = 0.6  # of the rays to a side
THINGS_SHARE = 0.3  # of the rays to a side: half of a closed side is of things, not of a tone
MIN_SIDES = 3
CONFIDENCE = 0.6  # drawn frames are all found; of photographs with one there were too few to count
MAX_SUBJECT_SIDE = 0.8  # of the picture's; a larger subject leaves no room for a frame


@dataclass(frozen=True, slots=True)
class _Side:
    """One side of the picture.

    Attributes
    ----------
    closed : float
        Share of the rays that meet a frame.
    depth : float
        Of the frame, as a fraction of the picture's width or height; 0 where the side is open.
    tone : int
        1 where the frame is a lighter tone, -1 where it is a darker one, 0 where it is of things.
    """

    closed: float
    depth: float
    tone: int

    @property
    def is_closed(self) -> bool:
        return self.closed >= CLOSED_SHARE


OPEN_SIDE = _Side(0.0, 0.0, 0)


def inner_frame(
    pixels: NDArray[np.uint8], subject: Region, labels: NDArray[np.int32]
) -> TechniqueFit | None:
    """Find a frame around the subject; None where none is seen for sure.

    Parameters
    ----------
    pixels : (H, W, 3) uint8 array
        sRGB; `SIDE_PX` along the longest side are enough.
    subject : Region
    labels : (h, w) int32 array
        0 where no supporting element is.
    """
    box = subject.bbox
    if max(box.right - box.left, box.bottom - box.top) > MAX_SUBJECT_SIDE:
        return None
    lightness = lab_from_pixels(reduced(pixels, SIDE_PX))[..., 0]
    sides = _sides(lightness, on_grid(labels > 0, *lightness.shape), box)
    closed = [side for side in sides if side.is_closed]
    if len(closed) < MIN_SIDES:
        return None
    if {-1, 1} <= {side.tone for side in closed}:
        return None  # darker on one side and lighter on another: the ground changes
    height, width = pixels.shape[:2]
    return _told(sides, subject.centroid, width, height)


def _told(sides: tuple[_Side, ...], centroid: Point, width: int, height: int) -> TechniqueFit:
    left, right, top, bottom = (side.depth if side.is_closed else 0.0 for side in sides)
    opening = Box(left, top, 1 - right, 1 - bottom)
    least = sorted((side.closed for side in sides), reverse=True)[MIN_SIDES - 1]
    corners = (
        Point(opening.left, opening.top),
        Point(opening.right, opening.top),
        Point(opening.right, opening.bottom),
        Point(opening.left, opening.bottom),
    )
    return TechniqueFit(
        distance_fraction(centroid, opening.centre, width, height),
        opening.centre,
        0.5 + 0.5 * (least - CLOSED_SHARE) / (1 - CLOSED_SHARE),
        corners,
        CONFIDENCE,
    )


def _sides(lightness: Floats, things: Mask, box: Box) -> tuple[_Side, ...]:
    """Left, right, top, bottom: each is turned so that its rays run along the rows, inwards."""
    beside, over = (box.top, box.bottom), (box.left, box.right)
    return (
        _side(lightness, things, box.left, beside),
        _side(lightness[:, ::-1], things[:, ::-1], 1 - box.right, beside),
        _side(lightness.T, things.T, box.top, over),
        _side(lightness[::-1].T, things[::-1].T, 1 - box.bottom, over),
    )


def _side(lightness: Floats, things: Mask, reach: float, span: tuple[float, float]) -> _Side:
    """Follow the rays from the picture's edge inwards to the subject, `reach` away."""
    n_rays, length = lightness.shape
    gap = max(1, round(MIN_GAP_FRACTION * max(n_rays, length)))
    inner = int(reach * length)
    deepest = min(inner - gap, int(MAX_DEPTH_FRACTION * length))
    if deepest < 1:
        return OPEN_SIDE
    rays = slice(int(span[0] * n_rays), math.ceil(span[1] * n_rays))
    thing_depth = _thing_depth(things[rays, :inner], gap)
    tone_depth, tone = _tone_depth(lightness[rays, :inner], gap)
    by_thing = (thing_depth > 0) & (thing_depth <= deepest)
    met = by_thing | ((tone_depth > 0) & (tone_depth <= deepest))
    if not met.any():
        return OPEN_SIDE
    depth = float(np.median(np.where(by_thing, thing_depth, tone_depth)[met])) / length
    of_things = float(by_thing.mean()) > THINGS_SHARE
    return _Side(float(met.mean()), depth, 0 if of_things else tone)


def _thing_depth(things: Mask, gap: int) -> NDArray[np.intp]:
    """How far in px a thing reaches along each ray from the picture's edge; 0 for none."""
    has_gap = ~things[:, -gap:].any(axis=1)
    return np.where(has_gap, np.argmin(things, axis=1), 0)


def _tone_depth(tones: Floats, gap: int) -> tuple[NDArray[np.intp], int]:
    """How far in px another tone than the open ground's reaches, and its sign; 0 for none."""
    open_tone = np.median(tones[:, -gap:], axis=1)
    step = tones[:, 0] - open_tone
    same = np.abs(tones - tones[:, :1]) < SAME_TONE_SHARE * np.abs(step[:, np.newaxis])
    depth = np.argmin(same, axis=1)
    ahead = np.minimum(depth + EDGE_PX, tones.shape[1] - 1)
    rest = np.abs(tones[np.arange(len(tones)), ahead] - open_tone)
    sudden = rest < CHANGED_SHARE * np.abs(step)
    tone = 1 if np.median(step) > 0 else -1
    return np.where((step * tone >= MIN_TONE_STEP) & sudden, depth, 0), tone
