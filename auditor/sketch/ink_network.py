"""The network that labels what is drawn in a frame; trained by `auditor.sketch.training`.

Its layers are those of the subject network (`auditor.saliency.network`). It sees the ink of the
frame with its margin, and answers for each place what the ink there belongs to.
"""

from __future__ import annotations

from functools import cache
from importlib.resources import files
from typing import BinaryIO, cast

import numpy as np
from numpy.typing import NDArray
from PIL import Image

from auditor.saliency.network import NumpyNetwork
from auditor.sketch.canvas import Canvas
from auditor.sketch.ink_labels import CHANNELS, INPUT_PX, MARGIN, OUTPUT_PX

WEIGHTS_FILE = "weights.npz"
Map = NDArray[np.float32]


def labels_of(canvas: Canvas) -> dict[str, Map]:
    """Probability of each label of `CHANNELS`, on the canvas as a square.

    Returns
    -------
    dict of str to (OUTPUT_PX, OUTPUT_PX) float32 array
        The middle of the frame is the middle of the array, and `1 + 2 * MARGIN` of its longer side
        are the side of the array.
    """
    maps = _network()(_input(canvas))
    return {name: maps[..., k] for k, name in enumerate(CHANNELS)}


def _input(canvas: Canvas) -> Map:
    side = round((1 + 2 * MARGIN) * max(canvas.width, canvas.height))
    height, width = canvas.ink.shape
    square = np.zeros((side, side), np.float32)
    top, left = (side - height) // 2, (side - width) // 2
    rows, columns = slice(max(0, -top), None), slice(max(0, -left), None)
    square[max(0, top) : max(0, top) + height, max(0, left) : max(0, left) + width] = canvas.ink[
        rows, columns
    ][:side, :side]
    small = Image.fromarray(square).resize((INPUT_PX, INPUT_PX), Image.Resampling.BOX)
    ink = np.asarray(small)
    scale = INPUT_PX / side
    inside = np.zeros((INPUT_PX, INPUT_PX), np.float32)
    x = round((INPUT_PX - canvas.width * scale) / 2)
    y = round((INPUT_PX - canvas.height * scale) / 2)
    inside[y : INPUT_PX - y, x : INPUT_PX - x] = 1
    return np.stack([ink, (ink > 0).astype(np.float32), inside], axis=2)


@cache
def _network() -> NumpyNetwork:
    with (files("auditor.sketch") / WEIGHTS_FILE).open("rb") as file:
        stored = np.load(cast("BinaryIO", file))
        weights = {name: stored[name].astype(np.float32) for name in stored.files}
    return NumpyNetwork(weights, INPUT_PX)


__all__ = ["OUTPUT_PX", "labels_of"]
