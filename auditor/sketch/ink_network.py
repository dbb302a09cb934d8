"""The network that labels what is drawn in a frame; trained by `auditor.sketch.training`.

Its layers are those of the subject network (`auditor.saliency.network`). It sees the ink of the
frame with its margin, and answers for each place what the ink there belongs to. `MODEL.md` says
what it learned from and how often it is right.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from importlib.resources import files
from typing import BinaryIO, cast

import numpy as np
from numpy.typing import NDArray
from PIL import Image
from scipy.ndimage import find_objects, label

from auditor.saliency.network import NumpyNetwork
from auditor.sketch.canvas import Canvas, Mask
from auditor.sketch.ink_labels import CHANNELS, FRAME_PX, INPUT_PX, OUTPUT_PX

WEIGHTS_FILE = "weights.npz"
# Sides of a dot at the canvas's size: crumbs, dots that mark an area, small print. A letter
# written by hand is larger (our choice, no source).
DOT_PX = 7
Map = NDArray[np.float32]


@dataclass(frozen=True, slots=True, eq=False)
class LabelledInk:
    """The labels of one frame.

    Attributes
    ----------
    maps : dict of str to (OUTPUT_PX, OUTPUT_PX) float32 array
        Probability of each label of `CHANNELS`; directions and squash are values in [0, 1].
    frame : tuple of slice
        Rows and columns of the frame; the rest is its margin.
    """

    maps: dict[str, Map]
    frame: tuple[slice, slice]

    def __getitem__(self, name: str) -> Map:
        return self.maps[name]


def label_ink(canvas: Canvas) -> LabelledInk:
    """Label the ink of a frame."""
    maps = _network()(_input(canvas))
    named = {name: maps[..., k] for k, name in enumerate(CHANNELS)}
    return LabelledInk(named, _frame_in(OUTPUT_PX, canvas))


def _input(canvas: Canvas) -> Map:
    """Ink, any ink at all, and the frame's place, as (INPUT_PX, INPUT_PX, 3)."""
    side = round(max(canvas.width, canvas.height) * OUTPUT_PX / FRAME_PX)
    square = np.zeros((side, side), np.float32)
    ink = _without_dots(canvas.ink)[:side, :side]
    top, left = ((side - length) // 2 for length in ink.shape)
    square[top : top + ink.shape[0], left : left + ink.shape[1]] = ink
    small = np.asarray(Image.fromarray(square).resize((INPUT_PX, INPUT_PX), Image.Resampling.BOX))
    inside = np.zeros_like(small)
    inside[_frame_in(INPUT_PX, canvas)] = 1
    return np.stack([small, (small > 0).astype(np.float32), inside], axis=2)


def _without_dots(ink: Mask) -> Mask:
    """The ink without dots and small print, which are no part of a drawing."""
    parts, _ = label(ink, np.ones((3, 3)))
    large = [
        max(rows.stop - rows.start, columns.stop - columns.start) > DOT_PX
        for rows, columns in find_objects(parts)
    ]
    return np.asarray(np.array([False, *large])[parts])


def _frame_in(side: int, canvas: Canvas) -> tuple[slice, slice]:
    """Rows and columns of the frame in the middle of a square of this side."""
    scale = side * FRAME_PX / OUTPUT_PX / max(canvas.width, canvas.height)
    top = round((side - canvas.height * scale) / 2)
    left = round((side - canvas.width * scale) / 2)
    return slice(top, side - top), slice(left, side - left)


@cache
def _network() -> NumpyNetwork:
    with (files("auditor.sketch") / WEIGHTS_FILE).open("rb") as file:
        stored = np.load(cast("BinaryIO", file), allow_pickle=False)
        weights = {name: stored[name].astype(np.float32) for name in stored.files}
    return NumpyNetwork(weights, INPUT_PX)
