"""The ink of a frame and its margin at one working size, as a mask."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from PIL import Image
from scipy.ndimage import label

from auditor.geometry import Box, Point
from auditor.sketch.drawn import FrameOnPage

Mask = NDArray[np.bool_]

# Long side of the frame in which everything is read, in px: a pen's line is then two to four wide,
# and a frame takes a fraction of a second (our choice, no source).
LONG_SIDE_PX = 480
# Ink is whatever is darker than this share of the frame's usual darkest ink, or touches ink and is
# darker than the second (our choice: light pencil lines beside dark ones, without the paper).
CLEAR_INK, FAINT_INK = 0.3, 0.15
# Lines of a grid may be far lighter than the drawing: from this share on they are looked for, where
# what else is that light (printed lines of the paper) does no harm.
LIGHTEST_LINE = 0.07
DARKEST_PERCENT = 99.0
LEAST_DARKEST = 0.25  # below it there is nothing but paper
SPECK_PX = 5  # no larger groups of pixels are dirt


@dataclass(frozen=True, slots=True, eq=False)
class Canvas:
    """What is drawn in and around a frame.

    Attributes
    ----------
    ink : (h, w) bool array
        Of the frame with its margin.
    faint : (h, w) bool array
        The same with what is too light to be sure of.
    margin : int
        Rows above and columns left of the frame, in px.
    width, height : int
        Of the frame, in px.
    """

    ink: Mask
    faint: Mask
    margin: int
    width: int
    height: int

    @property
    def diagonal(self) -> float:
        """Of the frame, in px."""
        return float(np.hypot(self.width, self.height))

    @property
    def inside(self) -> tuple[slice, slice]:
        """Rows and columns of the frame."""
        m = self.margin
        return slice(m, m + self.height), slice(m, m + self.width)

    def point(self, x: float, y: float) -> Point:
        """A position of the canvas in px as fractions of the frame."""
        return Point((x - self.margin) / self.width, (y - self.margin) / self.height)

    def box(self, rows: slice, columns: slice) -> Box:
        """Rows and columns of the canvas as a box of the frame."""
        left, top = self.point(columns.start, rows.start)
        right, bottom = self.point(columns.stop, rows.stop)
        return Box(left, top, right, bottom)


def canvas_of(page: FrameOnPage) -> Canvas:
    """Bring a frame with its margin to the working size and find its ink."""
    height, width = page.ink.shape
    margin = round((page.surround.shape[0] - height) / 2)
    darkness = np.array(page.surround, dtype=np.float32)
    columns = round((page.surround.shape[1] - width) / 2)
    darkness[margin : margin + height, columns : columns + width] = page.ink
    scale = LONG_SIDE_PX / max(height, width)
    size = (round(darkness.shape[1] * scale), round(darkness.shape[0] * scale))
    small = np.asarray(Image.fromarray(darkness).resize(size, Image.Resampling.BOX))
    new_margin, new_width, new_height = (round(v * scale) for v in (margin, width, height))
    return Canvas(*_ink(small), new_margin, new_width, new_height)


def _ink(darkness: NDArray[np.float32]) -> tuple[Mask, Mask]:
    """Hysteresis threshold relative to the darkest ink; and all that may be ink."""
    from skimage.filters import apply_hysteresis_threshold

    dark = darkness[darkness > FAINT_INK * LEAST_DARKEST]
    darkest = float(np.percentile(dark, DARKEST_PERCENT)) if dark.size else 0.0
    if darkest < LEAST_DARKEST:
        none = np.zeros(darkness.shape, dtype=np.bool_)
        return none, none
    ink = apply_hysteresis_threshold(darkness, FAINT_INK * darkest, CLEAR_INK * darkest)
    return _without_specks(ink), np.asarray(darkness > LIGHTEST_LINE * darkest)


def _without_specks(ink: Mask) -> Mask:
    """The ink without the groups of neighbouring pixels, corners too, that are specks."""
    groups, _ = label(ink, np.ones((3, 3)))
    keeps = np.bincount(groups.ravel()) > SPECK_PX
    keeps[0] = False  # what is not ink
    return np.asarray(keeps[groups])
