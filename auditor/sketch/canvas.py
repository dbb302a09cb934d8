"""The ink of a frame and its margin at one working size, as a mask."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from PIL import Image
from skimage.filters import apply_hysteresis_threshold
from skimage.morphology import remove_small_objects

from auditor.sketch.drawn import FrameOnPage

Mask = NDArray[np.bool_]

# Long side of the frame at which ink is told from paper, in px: a pen's line is then two to four
# wide (our choice, no source).
LONG_SIDE_PX = 480
# Ink is whatever is darker than this share of the frame's usual darkest ink, or touches ink and is
# darker than the second (our choice: light pencil lines beside dark ones, without the paper).
CLEAR_INK, FAINT_INK = 0.32, 0.16
DARKEST_PERCENT = 99.0
LEAST_DARKEST = 0.25  # below it there is nothing but paper
SPECK_PX = 5  # smaller specks are dirt


@dataclass(frozen=True, slots=True, eq=False)
class Canvas:
    """What is drawn in and around a frame.

    Attributes
    ----------
    ink : (h, w) bool array
        Of the frame with the same margin on all sides.
    width, height : int
        Of the frame, in px.
    """

    ink: Mask
    width: int
    height: int


def canvas_of(page: FrameOnPage) -> Canvas:
    """Bring a frame with its margin to the working size and find its ink."""
    height, width = page.ink.shape
    top, left = (
        (big - small) // 2 for big, small in zip(page.surround.shape, page.ink.shape, strict=True)
    )
    darkness = np.array(page.surround, dtype=np.float32)
    darkness[top : top + height, left : left + width] = page.ink
    scale = LONG_SIDE_PX / max(height, width)
    size = (round(darkness.shape[1] * scale), round(darkness.shape[0] * scale))
    small = np.asarray(Image.fromarray(darkness).resize(size, Image.Resampling.BOX))
    return Canvas(_ink(small), round(width * scale), round(height * scale))


def _ink(darkness: NDArray[np.float32]) -> Mask:
    """Hysteresis threshold relative to the darkest ink."""
    dark = darkness[darkness > FAINT_INK * LEAST_DARKEST]
    darkest = float(np.percentile(dark, DARKEST_PERCENT)) if dark.size else 0.0
    if darkest < LEAST_DARKEST:
        return np.zeros(darkness.shape, dtype=np.bool_)
    ink = apply_hysteresis_threshold(darkness, FAINT_INK * darkest, CLEAR_INK * darkest)
    return np.asarray(remove_small_objects(ink, max_size=SPECK_PX, connectivity=2))
