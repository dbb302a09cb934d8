"""Frame within a frame: things or tones that enclose the subject.

Rays run from the sides of the picture inwards to the subject's box. A ray meets a frame if it
begins in something that reaches the picture's edge and then crosses open ground before the subject:
a placed thing cut off by the edge, or an area darker or lighter than the open ground with a clear
edge (a doorway, the rim of a crate, a dark foreground). A fall-off of the light has no edge and is
no frame. A side is closed if most of its rays meet a frame, and an inner frame has at least three
closed sides. Tones must differ strongly and change abruptly: on 500 photographs of the ECSSD set
and 167 finished food photographs, weaker rules did not separate frames from uneven backgrounds.
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
SAME_TONE_SHARE = 0.5  # of the step: within this difference a ray is still in its first tone
EDGE_PX = 3  # a tone that changes over more pixels is a fall-off
CHANGED_SHARE = 0.25  # of the step: within this difference it has reached the open ground's tone
MIN_GAP_FRACTION = 0.02  # of the longest side: open ground between subject and frame
MAX_DEPTH_FRACTION = 0.4  # of the picture's side; anything deeper is the background itself
CLOSED_SHARE = 0.6  # of the rays to a side
THINGS_SHARE = 0.3  # of the rays to a side: with more, the side is closed by things, not by a tone
MIN_SIDES = 3
CONFIDENCE = 0.6  # all drawn frames are found; too few photographs have one to count
MAX_SUBJECT_SIDE = 0.8  # of the picture's side; a larger subject leaves no room for a frame


@dataclass(frozen=True, slots=True)
class _Side:
    """One side of the picture.

    Attributes
    ----------
    closed : float
        Share of the rays that meet a frame.
    depth : float
        Of the frame, as a fraction of the picture's width or height; 0 if the side is open.
    tone : int
        1 if the frame is a lighter tone, -1 if a darker one, 0 if it consists of things.
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
    """Find a frame around the subject; None unless it is clear.

    Parameters
    ----------
    pixels : (H, W, 3) uint8 array
        sRGB; `SIDE_PX` along the longest side are enough.
    subject : Region
    labels : (h, w) int32 array
        0 where there is no supporting element.
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
        return None  # darker on one side and lighter on another: an uneven background
    height, width = pixels.shape[:2]
    return _fit_of_sides(sides, subject.centroid, width, height)


def _fit_of_sides(
    sides: tuple[_Side, ...], centroid: Point, width: int, height: int
) -> TechniqueFit:
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
    """Left, right, top, bottom; each is turned so that its rays run along the rows, inwards."""
    beside, over = (box.top, box.bottom), (box.left, box.right)
    return (
        _side(lightness, things, box.left, beside),
        _side(lightness[:, ::-1], things[:, ::-1], 1 - box.right, beside),
        _side(lightness.T, things.T, box.top, over),
        _side(lightness[::-1].T, things[::-1].T, 1 - box.bottom, over),
    )


def _side(lightness: Floats, things: Mask, reach: float, span: tuple[float, float]) -> _Side:
    """Follow the rays from the picture's edge inwards, over `reach`, to the subject."""
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
    """Length in px of the thing at the picture's edge along each ray; 0 for none."""
    has_gap = ~things[:, -gap:].any(axis=1)
    return np.where(has_gap, np.argmin(things, axis=1), 0)


def _tone_depth(tones: Floats, gap: int) -> tuple[NDArray[np.intp], int]:
    """Length in px of a tone unlike the open ground's along each ray, and its sign; 0 for none."""
    open_tone = np.median(tones[:, -gap:], axis=1)
    step = tones[:, 0] - open_tone
    same = np.abs(tones - tones[:, :1]) < SAME_TONE_SHARE * np.abs(step[:, np.newaxis])
    depth = np.argmin(same, axis=1)
    ahead = np.minimum(depth + EDGE_PX, tones.shape[1] - 1)
    rest = np.abs(tones[np.arange(len(tones)), ahead] - open_tone)
    abrupt = rest < CHANGED_SHARE * np.abs(step)
    tone = 1 if np.median(step) > 0 else -1
    return np.where((step * tone >= MIN_TONE_STEP) & abrupt, depth, 0), tone
