"""The tone of the subject against its surroundings, and its texture."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy import ndimage

from auditor.colorimetry import (
    Lab,
    cell_light,
    colour_difference,
    lab_from_linear,
    lightness_from_luminance,
    on_grid,
)
from auditor.geometry import mask_window
from auditor.measurements.tone.luminance import LEVELS, luminance_levels, planes_of

GRID_LONGEST_SIDE = 96
"""Cells along the longest side for the contrast with the surroundings."""

GAP_CELLS = 1
"""Cells at the subject's outline that are left out: its error, and the shadow's edge."""

RING_CELLS = 6
"""Width of the surroundings: a sixteenth of the frame's side, which is seen together with the
outline (common practice, no source)."""

MIN_CELLS = 12
"""Cells of the subject and of its surroundings below which they are not compared."""

TEXTURE_BLOCK_PX = 2
"""Side in pixels of the blocks averaged before texture is measured: grain is not texture."""

TEXTURE_WINDOW = 9
"""Side in blocks of the neighbourhood that a block is compared with: at 1024 px less than a
fiftieth of the frame's side, so crumb and grains count and the curve of a bun does not."""


@dataclass(frozen=True, slots=True)
class SubjectTone:
    """Tone of the subject.

    Attributes
    ----------
    lightness : float
        Mean CIELAB lightness of the subject, in [0, 100].
    lightness_difference : float
        Mean lightness of the subject minus that of its surroundings; positive if the subject is
        lighter.
    colour_difference : float
        CIEDE2000 between the mean colours of the subject and of its surroundings.
    texture : float
        Local contrast on the subject: root mean square of the lightness of each block of 2 pixels
        minus the mean of its neighbourhood, CIELAB L*; 0 for cream, higher for crumb. Comparable
        between pictures whose subjects are of about the same size.
    """

    lightness: float
    lightness_difference: float
    colour_difference: float
    texture: float


def measure_subject_tone(
    pixels: NDArray[np.uint8], subject: NDArray[np.bool_]
) -> SubjectTone | None:
    """Measure the tone of the subject.

    Parameters
    ----------
    pixels : (H, W, 3) uint8 array
        sRGB.
    subject : (h, w) bool array
        Covers the frame.

    Returns
    -------
    SubjectTone or None
        None if there is no subject, or if it or its surroundings are too small.
    """
    lab = lab_from_linear(cell_light(pixels, GRID_LONGEST_SIDE))
    mask = on_grid(subject, *lab.shape[:2])
    near = ndimage.binary_dilation(mask, iterations=GAP_CELLS)
    ring = ndimage.binary_dilation(near, iterations=RING_CELLS) & ~near
    inner = ndimage.binary_erosion(mask, iterations=GAP_CELLS)
    if min(int(inner.sum()), int(ring.sum())) < MIN_CELLS:
        return None
    own, around = _mean(lab[inner]), _mean(lab[ring])
    return SubjectTone(
        own[0], own[0] - around[0], colour_difference(own, around), _texture(pixels, subject)
    )


def _mean(lab: NDArray[np.floating]) -> Lab:
    lightness, a, b = (float(v) for v in lab.mean(axis=0, dtype=np.float64))
    return (lightness, a, b)


def _texture(pixels: NDArray[np.uint8], subject: NDArray[np.bool_]) -> float:
    """Local contrast of lightness within the subject, away from its outline."""
    mask, part = _window(pixels, subject)
    light = _block_means(luminance_levels(planes_of(part)).astype(np.float32) / (LEVELS - 1))
    lightness = lightness_from_luminance(light)
    inside = on_grid(mask, *lightness.shape).astype(np.float32)
    covered = ndimage.uniform_filter(inside, TEXTURE_WINDOW, mode="constant")
    whole = covered > 1 - 0.5 / TEXTURE_WINDOW**2
    if not whole.any():
        whole = inside > 0  # the subject is narrower than the window: include its outline
    around = ndimage.uniform_filter(lightness, TEXTURE_WINDOW, mode="nearest")
    return float(np.sqrt(np.mean((lightness - around)[whole] ** 2, dtype=np.float64)))


def _window(
    pixels: NDArray[np.uint8], subject: NDArray[np.bool_]
) -> tuple[NDArray[np.bool_], NDArray[np.uint8]]:
    """Crop the mask and the picture to the subject's box."""
    window = mask_window(subject, margin_px=0)
    if window is None:
        return subject, pixels
    scales = [side / own for side, own in zip(pixels.shape[:2], subject.shape, strict=True)]
    rows, columns = (
        slice(round(part.start * scale), round(part.stop * scale))
        for part, scale in zip(window, scales, strict=True)
    )
    return subject[window], pixels[rows, columns]


def _block_means(light: NDArray[np.floating]) -> NDArray[np.floating]:
    """Means over blocks of `TEXTURE_BLOCK_PX`; incomplete blocks are dropped."""
    size = TEXTURE_BLOCK_PX
    rows, columns = (max(side // size, 1) for side in light.shape)
    kept = light[: rows * size, : columns * size]
    if min(light.shape) < size:
        return light
    bands = kept.reshape(rows, size, -1).sum(axis=1)
    sums: NDArray[np.floating] = bands[:, ::size].copy()
    for nth in range(1, size):
        sums += bands[:, nth::size]
    sums /= size**2
    return sums
