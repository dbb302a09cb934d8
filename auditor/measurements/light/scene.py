"""The scene that the cues are measured on: reduced luminance, and the things on the table.

Each thing has its own coordinates on the table plane: right of the camera and away from it, from
the centre of its foot, in units of its radius. A circle on the table seen at elevation e is
foreshortened by sin e, so one row up in the picture corresponds to 1 / sin e columns away.

"Ground" is every pixel that no thing covers; a thing is the subject or an element.
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

from auditor.colorimetry import linear_from_srgb, on_grid

Floats = NDArray[np.float64]
Mask = NDArray[np.bool_]

ANALYSIS_SIDE_PX = 256  # longest side; light is smooth, and grain and weave are averaged away
LUMINANCE_WEIGHTS = (0.2126, 0.7152, 0.0722)  # IEC 61966-2-1 (BT.709 primaries)
MIN_LUMINANCE = 2.0**-9  # of white; one level of 8 bits near black, darker is noise
MIN_THING_PX = 40  # a smaller thing has too small a ring
MIN_SIN_ELEVATION = math.sin(math.radians(15))  # lower, depth on the table cannot be measured
SAME_COLOUR = 0.06  # of chromaticity; shade shifts it by less, another cloth by more
# A shadow is lit by the fill light alone, which differs in colour from the key light. Allowed
# extra shift per EV darker than the commonest light; chosen by eye on shadows of rendered tables.
SHADE_SHIFT = 0.03
MAX_SHADE_EV = 2.5
MEDIAN_PX = 2000  # enough to find the commonest colour
AROUND_PX = 1500  # of ground around a thing, evenly spaced; more do not improve the result
MIN_BULGE = 0.05  # from overhead a ball and a dish have the same foot
REDUCING_GAP = 1.0  # whole steps first, down to the size or just above: half the time
_LINEAR_FROM_CODE: Floats = linear_from_srgb(np.arange(256) / 255)
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
        """Pixels that no thing covers, with a margin around each thing."""
        is_ground = ~dilated(self.labels > 0, MARGIN_PX)
        return self.pixels_at(*np.nonzero(is_ground))

    def pixels_at(self, rows: NDArray[np.intp], columns: NDArray[np.intp]) -> GroundPixels:
        """Luminance and chromaticity at some places."""
        places = rows * self.labels.shape[1] + columns
        return GroundPixels(
            rows,
            columns,
            self.luminance_ev.take(places),
            self.chromaticity.reshape(-1, 2).take(places, axis=0),
        )

    def things(self) -> Iterator[Thing]:
        """The subject and the elements, the subject first; small ones are left out."""
        boxes = cast("list[tuple[slice, slice] | None]", ndimage.find_objects(self.labels))
        for number, box in enumerate(boxes, start=1):
            if box is None:
                continue
            mask = self.labels[box] == number
            if np.count_nonzero(mask) >= MIN_THING_PX:
                yield self.thing(mask, box)

    def thing(self, mask: Mask, box: tuple[slice, slice]) -> Thing:
        """Describe a mask in a box, with the foot that a dish or ball of that outline has."""
        rows, columns = box
        radius = (columns.stop - columns.start) / 2
        rise = self._foot_rise((rows.stop - rows.start) / (2 * radius)) * radius
        return Thing(
            mask,
            (columns.start + columns.stop) / 2,
            rows.stop - rise,
            max(radius, 1.0),
            np.count_nonzero(mask) / self.labels.size,
            box,
            (rows.start == 0, rows.stop == self.labels.shape[0]),
            (columns.start == 0, columns.stop == self.labels.shape[1]),
        )

    def _foot_rise(self, height_over_width: float) -> float:
        """Height of the foot's centre above the lowest row of a thing, in its radii.

        It is sin e for a flat dish (axis ratio sin e) and 1 - cos e for a ball (axis ratio 1).
        """
        flat = self.sin_elevation
        ball = 1 - math.sqrt(1 - flat**2)
        bulge = min(max((height_over_width - flat) / max(1 - flat, MIN_BULGE), 0.0), 1.0)
        return (1 - bulge) * flat + bulge * ball

    def around(
        self, thing: Thing, reach: float, ground: GroundPixels | None = None
    ) -> Surroundings:
        """Ground of the commonest colour within `reach` radii of the foot of a thing.

        The ground is the table unless given.
        """
        ground = self.ground if ground is None else ground
        reach_up = reach * thing.radius_px * self.sin_elevation
        first, end = np.searchsorted(
            ground.rows, [thing.foot_y - reach_up - 0.5, thing.foot_y + reach_up - 0.5]
        )
        right = (ground.columns[first:end] + 0.5 - thing.foot_x) / thing.radius_px
        away = (thing.foot_y - ground.rows[first:end] - 0.5) / (
            thing.radius_px * self.sin_elevation
        )
        near = np.nonzero(np.hypot(right, away) < reach)[0]
        step = math.ceil(math.sqrt(max(1, near.size) / AROUND_PX))
        if step > 1:  # evenly spaced, and the same in the mirror image
            aside = np.abs(right[near] * thing.radius_px).astype(np.intp)
            near = near[(ground.rows[near + first] % step == 0) & (aside % step == 0)]
        near = near[ground.of_one_colour(near + first)]
        right, away = right.take(near), away.take(near)
        near += first
        return Surroundings(
            ground.rows.take(near),
            ground.columns.take(near),
            ground.luminance_ev.take(near),
            ground.chromaticity.take(near, axis=0),
            np.asarray(right),
            np.asarray(away),
            np.hypot(right, away),
            step,
        )


def dilated(mask: Mask, n_px: int) -> Mask:
    """Dilate a mask by `n_px` in a square neighbourhood."""
    for axis in (0, 1):
        wider = mask.copy()
        for step in range(1, min(n_px, mask.shape[axis] - 1) + 1):
            before = (slice(None),) * axis + (slice(step, None),)
            behind = (slice(None),) * axis + (slice(None, -step),)
            wider[behind] |= mask[before]
            wider[before] |= mask[behind]
        mask = wider
    return mask


def has_commonest_colour(
    rows: NDArray[np.intp], chromaticity: Floats, luminance_ev: Floats
) -> Mask:
    """Mask of the pixels that have the commonest colour, in light or shade.

    The median is taken over whole, evenly spaced rows, so that it is the same in the mirror image.
    """
    if rows.size == 0:
        return np.zeros(0, dtype=bool)
    few = np.flatnonzero(rows % (1 + rows.size // MEDIAN_PX) == 0)
    if few.size == 0:
        few = np.arange(rows.size)
    apart = np.abs(chromaticity - np.median(chromaticity.take(few, axis=0), axis=0))
    shade_ev = np.clip(np.median(luminance_ev[few]) - luminance_ev, 0, MAX_SHADE_EV)
    return np.asarray(np.maximum(apart[:, 0], apart[:, 1]) <= SAME_COLOUR + SHADE_SHIFT * shade_ev)


@dataclass(frozen=True, slots=True)
class GroundPixels:
    """Ground, as a list of pixels with their luminance and chromaticity."""

    rows: NDArray[np.intp]
    columns: NDArray[np.intp]
    luminance_ev: Floats
    chromaticity: Floats

    def of_one_colour(self, chosen: NDArray[np.intp]) -> Mask:
        """Mask of chosen pixels of their commonest colour: a cloth's edge is no shadow."""
        return has_commonest_colour(
            self.rows.take(chosen),
            self.chromaticity.take(chosen, axis=0),
            self.luminance_ev.take(chosen),
        )


@dataclass(frozen=True, slots=True)
class Surroundings:
    """Ground around a thing: position in the picture and on the table, luminance, chromaticity."""

    rows: NDArray[np.intp]
    columns: NDArray[np.intp]
    luminance_ev: Floats
    chromaticity: Floats
    right: Floats
    away: Floats
    radius: Floats
    step_px: int  # from row to row, and from column to column


@dataclass(frozen=True, slots=True)
class Thing:
    """One thing on the table, in pixels of the reduced picture.

    Attributes
    ----------
    mask : bool array
        Of the shape of `box`.
    foot_x, foot_y, radius_px : float
        Centre of its foot, and half of its width.
    area_fraction : float
        Of the frame.
    box : pair of slices
        Rows and columns in the frame.
    cut_rows, cut_columns : pairs of bool
        True where the frame's edge cuts it: above and below, left and right.
    """

    mask: Mask
    foot_x: float
    foot_y: float
    radius_px: float
    area_fraction: float
    box: tuple[slice, slice]
    cut_rows: tuple[bool, bool]
    cut_columns: tuple[bool, bool]

    def inside(self, depth_px: int) -> Mask:
        """The mask without its outline; the frame's edge does not count as outline."""
        above, below, left, right = (
            0 if cut else depth_px for cut in (*self.cut_rows, *self.cut_columns)
        )
        outside = np.pad(~self.mask, ((above, below), (left, right)), constant_values=True)
        wide = ~dilated(outside, depth_px)
        height, width = self.mask.shape
        return wide[above : above + height, left : left + width]


def lit_scene(
    pixels: NDArray[np.uint8],
    subject_mask: Mask,
    element_labels: NDArray[np.int32],
    elevation_deg: float,
    *,
    mirrored: bool = False,
) -> LitScene:
    """Reduce a picture and its masks to `ANALYSIS_SIDE_PX`.

    Parameters
    ----------
    pixels : (H, W, 3) uint8 array
        sRGB.
    subject_mask : (h, w) bool array
    element_labels : (h, w) int32 array
        0 where there is no element.
    elevation_deg : float
        Of the camera.
    mirrored : bool
        True to reduce the mirror image of all three.
    """
    height, width = pixels.shape[:2]
    scale = min(1.0, ANALYSIS_SIDE_PX / max(height, width))
    size = (max(1, round(width * scale)), max(1, round(height * scale)))
    image = Image.fromarray(pixels)
    if mirrored:
        image = image.transpose(Image.Transpose.FLIP_LEFT_RIGHT)
        subject_mask, element_labels = subject_mask[:, ::-1], element_labels[:, ::-1]
    reduced = np.asarray(image.resize(size, Image.Resampling.BOX, reducing_gap=REDUCING_GAP))
    red, green, blue = (np.take(_LINEAR_FROM_CODE, reduced[..., nth]) for nth in range(3))
    luminance = sum(w * c for w, c in zip(LUMINANCE_WEIGHTS, (red, green, blue), strict=True))
    total = red + green + blue + 3 * MIN_LUMINANCE
    grid = reduced.shape[:2]
    subject, elements = on_grid(subject_mask, *grid), on_grid(element_labels, *grid)
    labels = np.where(subject, 1, np.where(elements > 0, elements + 1, 0))
    return LitScene(
        np.log2(np.maximum(luminance, MIN_LUMINANCE)),
        np.stack([(red + MIN_LUMINANCE) / total, (blue + MIN_LUMINANCE) / total], axis=2),
        labels.astype(np.int32),
        max(math.sin(math.radians(elevation_deg)), MIN_SIN_ELEVATION),
    )
