"""What the cues look at: reduced light values, and the things that stand on the table.

Each thing has its own frame on the table plane: right of the camera and away from it, from the
middle of its foot, in units of its radius. A circle on the table seen at elevation e is squeezed
by sin e away from the camera, so one row up in the picture is 1 / sin e columns away.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property
from typing import cast

import numpy as np
from numpy.typing import NDArray
from PIL import Image
from scipy import ndimage

from auditor.colorimetry import linear_from_srgb

Floats = NDArray[np.float64]
Mask = NDArray[np.bool_]

ANALYSIS_SIDE_PX = 320  # longest side; light is smooth, and grain and weave are averaged away
LUMINANCE_WEIGHTS = (0.2126, 0.7152, 0.0722)  # IEC 61966-2-1 (BT.709 primaries)
MIN_LUMINANCE = 2.0**-9  # of white; one level of 8 bits near black, darker is noise
MIN_THING_PX = 60  # a smaller thing has no ring to speak of
MIN_SIN_ELEVATION = math.sin(math.radians(15))  # lower, depth on the table cannot be told
SAME_COLOUR = 0.06  # of chromaticity; shade shifts it by less, another cloth by more
MEDIAN_PX = 2000  # so many tell the commonest colour
MIN_BULGE = 0.05  # from overhead a ball and a dish have the same foot
MARGIN_PX = 2  # around a thing: mixed pixels, and what an estimated mask has missed


@dataclass(frozen=True)
class LitScene:
    """The picture as light.

    Attributes
    ----------
    luminance_ev : (h, w) float array
        Binary logarithm of luminance relative to white.
    chromaticity : (h, w, 2) float array
        Shares of red and blue in linear light.
    labels : (h, w) int array
        0 is ground, 1 the subject, n + 1 the n-th element.
    sin_elevation : float
        At least `MIN_SIN_ELEVATION`.
    """

    luminance_ev: Floats
    chromaticity: Floats
    labels: NDArray[np.int32]
    sin_elevation: float

    @cached_property
    def ground(self) -> GroundPixels:
        """Where no thing is, with a margin."""
        is_ground = ~ndimage.maximum_filter(self.labels > 0, 2 * MARGIN_PX + 1)
        rows, columns = np.nonzero(is_ground)
        return GroundPixels(
            rows, columns, self.luminance_ev[rows, columns], self.chromaticity[rows, columns]
        )

    def things(self) -> Iterator[Thing]:
        """The subject and the elements that are large enough, the subject first."""
        boxes = cast("list[tuple[slice, slice] | None]", ndimage.find_objects(self.labels))
        for number, box in enumerate(boxes, start=1):
            if box is None:
                continue
            mask = self.labels == number
            n_px = int(np.count_nonzero(mask[box]))
            if n_px >= MIN_THING_PX:
                yield self.thing(mask, box, n_px)

    def thing(self, mask: Mask, box: tuple[slice, slice], n_px: int) -> Thing:
        """What a mask covers, with the foot that a dish or a ball of that outline has."""
        rows, columns = box
        radius = (columns.stop - columns.start) / 2
        rise = self._foot_rise((rows.stop - rows.start) / (2 * radius)) * radius
        return Thing(
            mask,
            (columns.start + columns.stop) / 2,
            rows.stop - rise,
            max(radius, 1.0),
            n_px / mask.size,
            box,
        )

    def _foot_rise(self, height_over_width: float) -> float:
        """How far above its lowest row the middle of a thing's foot lies, in its radii.

        A flat dish of axis ratio sin e has it sin e above, a ball of ratio 1 has it 1 - cos e.
        """
        flat = self.sin_elevation
        ball = 1 - math.sqrt(1 - flat**2)
        bulge = min(max((height_over_width - flat) / max(1 - flat, MIN_BULGE), 0.0), 1.0)
        return (1 - bulge) * flat + bulge * ball

    def around(
        self, thing: Thing, reach: float, ground: GroundPixels | None = None
    ) -> Surroundings:
        """Ground of the commonest colour within `reach` radii of the foot of a thing.

        The ground is the table unless another is given.
        """
        ground = self.ground if ground is None else ground
        right = (ground.columns + 0.5 - thing.foot_x) / thing.radius_px
        away = (thing.foot_y - ground.rows - 0.5) / (thing.radius_px * self.sin_elevation)
        near = np.nonzero((np.abs(right) < reach) & (np.abs(away) < reach))[0]
        near = near[np.hypot(right[near], away[near]) < reach]
        near = near[ground.of_one_colour(near)]
        right, away = right[near], away[near]
        return Surroundings(
            ground.rows[near],
            ground.columns[near],
            ground.luminance_ev[near],
            right,
            away,
            np.hypot(right, away),
        )


def near_colour(chromaticity: Floats, colour: Floats) -> Mask:
    """Which of many chromaticities, (..., 2), are the same colour in other light."""
    apart = np.abs(chromaticity - colour)
    return np.asarray(np.maximum(apart[..., 0], apart[..., 1]) <= SAME_COLOUR)


@dataclass(frozen=True, slots=True)
class GroundPixels:
    """Ground, as a list of pixels with their light and colour."""

    rows: NDArray[np.intp]
    columns: NDArray[np.intp]
    luminance_ev: Floats
    chromaticity: Floats

    def of_one_colour(self, chosen: NDArray[np.intp]) -> Mask:
        """Which of the chosen pixels have their commonest colour: a cloth's edge is no shadow."""
        own = self.chromaticity[chosen]
        if own.size == 0:
            return np.zeros(0, dtype=bool)
        few = own[:: max(1, len(own) // MEDIAN_PX)]
        return near_colour(own, np.median(few, axis=0))


@dataclass(frozen=True, slots=True)
class Surroundings:
    """Ground about a thing: places in the picture and on the table, and luminance."""

    rows: NDArray[np.intp]
    columns: NDArray[np.intp]
    luminance_ev: Floats
    right: Floats
    away: Floats
    radius: Floats


@dataclass(frozen=True, slots=True)
class Thing:
    """One thing on the table, in pixels of the reduced picture."""

    mask: Mask
    foot_x: float
    foot_y: float
    radius_px: float
    area_fraction: float
    box: tuple[slice, slice]

    def inside(self, depth_px: int) -> Mask:
        """The mask without its outline; the frame's edge is none."""
        rows, columns = (
            slice(max(0, side.start - depth_px), side.stop + depth_px) for side in self.box
        )
        inner = np.zeros_like(self.mask)
        inner[rows, columns] = ndimage.minimum_filter(self.mask[rows, columns], 2 * depth_px + 1)
        return inner


def lit_scene(
    pixels: NDArray[np.uint8],
    subject_mask: Mask,
    element_labels: NDArray[np.int32],
    elevation_deg: float,
) -> LitScene:
    """Reduce a picture and its masks to what the cues need."""
    height, width = pixels.shape[:2]
    scale = min(1.0, ANALYSIS_SIDE_PX / max(height, width))
    size = (max(1, round(width * scale)), max(1, round(height * scale)))
    reduced = np.asarray(Image.fromarray(pixels).resize(size, Image.Resampling.BOX))
    linear = linear_from_srgb(np.arange(256) / 255)[reduced]
    luminance = linear @ np.array(LUMINANCE_WEIGHTS)
    total = linear.sum(axis=2, keepdims=True) + 3 * MIN_LUMINANCE
    labels = np.where(subject_mask, 1, np.where(element_labels > 0, element_labels + 1, 0))
    return LitScene(
        np.log2(np.maximum(luminance, MIN_LUMINANCE)),
        (linear[..., ::2] + MIN_LUMINANCE) / total,
        _nearest(labels, size).astype(np.int32),
        max(math.sin(math.radians(elevation_deg)), MIN_SIN_ELEVATION),
    )


def _nearest(labels: NDArray[np.integer], size: tuple[int, int]) -> NDArray[np.integer]:
    height, width = labels.shape
    rows = ((np.arange(size[1]) + 0.5) * height / size[1]).astype(np.intp)
    columns = ((np.arange(size[0]) + 0.5) * width / size[0]).astype(np.intp)
    return labels[np.ix_(rows, columns)]
