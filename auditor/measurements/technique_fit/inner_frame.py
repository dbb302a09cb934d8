"""Frame within a frame: things or tones that close the picture in around the subject.

From the subject's box rays go out to the sides of the picture. A ray meets a frame where it first
crosses open ground and then comes upon something that reaches to the picture's edge: a placed thing
cut off by it, or an area darker or lighter than the open ground with an edge of its own (a doorway,
the rim of a crate, a dark foreground). A fall-off of the light has no edge and is no frame. A side
is closed where most of its rays meet one, and the frame has three closed sides at least. Tones
count only where they are far apart and part suddenly: on 500 photographs of the ECSSD set and 167
finished food photographs nothing less told a frame from a ground that changes.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from PIL import Image

from auditor.colorimetry import lab_from_pixels
from auditor.geometry import Box, Point, Region, distance_fraction
from auditor.measurements.technique_fit.fit import TechniqueFit

Floats = NDArray[np.float32]
Mask = NDArray[np.bool_]

SIDE_PX = 96  # longest side
MIN_TONE_STEP = 25.0  # CIELAB lightness: as from middle grey to a shadow two stops darker
EDGE_PX = 3  # a tone that has not changed within so many is a fall-off
MIN_GAP_FRACTION = 0.02  # of the longest side: open ground between subject and frame
MAX_DEPTH_FRACTION = 0.4  # of the picture's side; what is deeper is the ground itself
CLOSED_SHARE = 0.6  # of the rays to a side
MIN_SIDES = 3
CONFIDENCE = 0.6  # drawn frames are all found; of photographs with one there were too few to count
MAX_SUBJECT_SIDE = 0.8  # of the picture's; a larger subject leaves no room for a frame


def inner_frame(
    pixels: NDArray[np.uint8], subject: Region, labels: NDArray[np.int32]
) -> TechniqueFit | None:
    """Find a frame around the subject; None where none is seen for sure.

    Parameters
    ----------
    pixels : (H, W, 3) uint8 array
        sRGB.
    subject : Region
    labels : (h, w) int32 array
        0 where no supporting element is.
    """
    height, width = pixels.shape[:2]
    scale = min(1.0, SIDE_PX / max(height, width))
    size = (max(1, round(width * scale)), max(1, round(height * scale)))
    small = Image.fromarray(pixels).resize(size, Image.Resampling.BOX, reducing_gap=2)
    lightness = lab_from_pixels(np.asarray(small))[..., 0]
    things = np.asarray(Image.fromarray(labels > 0).resize(size, Image.Resampling.NEAREST))
    box = subject.bbox
    if max(box.right - box.left, box.bottom - box.top) > MAX_SUBJECT_SIDE:
        return None
    sides = _sides(lightness, things, box)
    if sum(side.is_closed for side in sides) < MIN_SIDES:
        return None
    if len({side.sign for side in sides if side.is_closed and not side.by_things}) > 1:
        return None  # darker on one side and lighter on another: the ground changes
    left, right, top, bottom = (side.depth for side in sides)
    opening = Box(left, top, 1 - right, 1 - bottom)
    shares = sorted((side.closed for side in sides), reverse=True)
    fit = 0.5 + 0.5 * (shares[MIN_SIDES - 1] - CLOSED_SHARE) / (1 - CLOSED_SHARE)
    corners = (
        Point(opening.left, opening.top),
        Point(opening.right, opening.top),
        Point(opening.right, opening.bottom),
        Point(opening.left, opening.bottom),
    )
    distance = distance_fraction(subject.centroid, opening.centre, width, height)
    return TechniqueFit(distance, opening.centre, fit, corners, CONFIDENCE)


@dataclass(frozen=True, slots=True)
class _Side:
    """One side of the picture: share of rays that meet a frame, its depth, what it is."""

    closed: float
    depth: float
    by_things: bool
    sign: int

    @property
    def is_closed(self) -> bool:
        return self.closed >= CLOSED_SHARE


def _sides(lightness: Floats, things: Mask, box: Box) -> tuple[_Side, _Side, _Side, _Side]:
    """Left, right, top, bottom: each is turned so that its rays run along the rows, inwards."""
    turned = (
        (lightness, things, box.left, (box.top, box.bottom)),
        (lightness[:, ::-1], things[:, ::-1], 1 - box.right, (box.top, box.bottom)),
        (lightness.T, things.T, box.top, (box.left, box.right)),
        (lightness[::-1].T, things[::-1].T, 1 - box.bottom, (box.left, box.right)),
    )
    left, right, top, bottom = (_side(*each) for each in turned)
    return left, right, top, bottom


def _side(lightness: Floats, things: Mask, reach: float, span: tuple[float, float]) -> _Side:
    """Follow the rays from the picture's edge inwards to the subject, `reach` away."""
    n_rays, length = lightness.shape
    rows = slice(int(span[0] * n_rays), max(int(span[0] * n_rays) + 1, round(span[1] * n_rays)))
    gap = max(1, round(MIN_GAP_FRACTION * max(n_rays, length)))
    inner = int(reach * length)
    deepest = min(inner - gap, int(MAX_DEPTH_FRACTION * length))
    if deepest < 1:
        return _Side(0.0, 0.0, by_things=False, sign=0)
    tones, thing = lightness[rows, :inner], things[rows, :inner]
    by_thing = thing[:, 0] & ~thing[:, inner - gap :].any(axis=1)
    thing_depth = np.argmin(thing, axis=1)
    open_tone = np.median(tones[:, inner - gap :], axis=1)
    step = tones[:, 0] - open_tone
    same = np.abs(tones - tones[:, :1]) < np.abs(step[:, np.newaxis]) / 2
    tone_depth = np.argmin(same, axis=1)
    ahead = np.minimum(tone_depth + EDGE_PX, inner - 1)
    sudden = np.abs(tones[np.arange(len(tones)), ahead] - open_tone) < np.abs(step) / 4
    sign = 1 if np.median(step) > 0 else -1
    by_tone = (step * sign >= MIN_TONE_STEP) & sudden & (tone_depth <= deepest) & (tone_depth > 0)
    by_thing &= (thing_depth <= deepest) & (thing_depth > 0)
    met = by_thing | by_tone
    if not met.any():
        return _Side(0.0, 0.0, by_things=False, sign=0)
    depth = float(np.median(np.where(by_thing, thing_depth, tone_depth)[met])) / length
    return _Side(float(met.mean()), depth, bool(by_thing.mean() > CLOSED_SHARE / 2), sign)
