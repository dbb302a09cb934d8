"""The subject network in plain numpy; trained by `auditor.saliency.training`.

Feature maps are (H, W, C) float32 arrays. Names of weights are those of
`auditor.saliency.training.network.export_tensors`.
"""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache
from importlib.resources import files
from typing import BinaryIO, cast

import numpy as np
from numpy.typing import NDArray
from PIL import Image

from auditor.saliency.finder import SubjectMaps

Features = NDArray[np.float32]
Weights = Mapping[str, NDArray[np.float32]]

INPUT_SIDE_PX = 256
WEIGHTS_FILE = "weights.npz"
STRIDES = (1, 2, 1, 2, 1, 2, 1, 1, 2, 1)  # of the encoder's blocks
SKIP_BLOCKS = (7, 4, 2, 0)  # the encoder's blocks that the decoder looks back at
SUBJECT, ELEMENTS = 0, 1  # places among the maps that the network answers with


class NetworkFinder:
    """Finds the subject with the trained network; the same in the mirror by construction."""

    def __init__(self, weights: Weights) -> None:
        self._weights = weights

    def find(self, pixels: NDArray[np.uint8]) -> SubjectMaps:
        """Map the subject and the placed things; see `auditor.saliency.finder.SubjectFinder`."""
        picture = _square(pixels)
        straight = run(self._weights, picture)
        mirrored = run(self._weights, picture[:, ::-1])[:, ::-1]
        maps = (straight + mirrored) / 2
        return SubjectMaps(
            subject=np.ascontiguousarray(maps[..., SUBJECT]),
            elements=np.ascontiguousarray(np.maximum(maps[..., ELEMENTS], maps[..., SUBJECT])),
        )


@cache
def trained_finder() -> NetworkFinder:
    """The finder with the weights of this package."""
    with (files("auditor.saliency") / WEIGHTS_FILE).open("rb") as file:
        stored = np.load(cast("BinaryIO", file))
        return NetworkFinder({name: stored[name].astype(np.float32) for name in stored.files})


def run(weights: Weights, picture: Features) -> Features:
    """Apply the network.

    Parameters
    ----------
    weights : mapping of str to array
        With the normalisations folded in.
    picture : (256, 256, 3) float32 array
        sRGB in [0, 1].

    Returns
    -------
    (128, 128, 3) float32 array
        Probabilities, in [0, 1], of subject, placed thing, and core of a thing.
    """
    x = _relu(_convolution(picture - np.float32(0.5), weights, "stem", stride=2))
    kept: dict[int, Features] = {}
    for block, stride in enumerate(STRIDES):
        x = _separable(x, weights, f"encoder.{block}", stride)
        if block in SKIP_BLOCKS:
            kept[block] = x
    context = weights["context.weight"] @ x.mean(axis=(0, 1)) + weights["context.bias"]
    x = x + _relu(context)
    for place, block in enumerate(SKIP_BLOCKS):
        enlarged = _pointwise(x, weights[f"up.{place}.weight"]).repeat(2, axis=0).repeat(2, axis=1)
        lateral = _pointwise(kept[block], weights[f"lateral.{place}.weight"])
        x = _relu(enlarged + lateral + weights[f"lateral.{place}.bias"])
        x = _separable(x, weights, f"mixer.{place}", 1)
    logits = _pointwise(x, weights["head.weight"]) + weights["head.bias"]
    return cast("Features", 1 / (1 + np.exp(-logits)))


def _separable(x: Features, weights: Weights, name: str, stride: int) -> Features:
    y = _relu(
        _depthwise(x, weights[f"{name}.depthwise.weight"], stride)
        + weights[f"{name}.depthwise.bias"]
    )
    y = _pointwise(y, weights[f"{name}.pointwise.weight"]) + weights[f"{name}.pointwise.bias"]
    return _relu(y + x if y.shape == x.shape else y)


def _depthwise(x: Features, kernel: NDArray[np.float32], stride: int) -> Features:
    """Filter each channel by its own (C, 1, k, k) kernel, zeros outside."""
    reach = kernel.shape[-1] // 2
    height, width = x.shape[0] // stride, x.shape[1] // stride
    padded = np.pad(x, ((reach, reach), (reach, reach), (0, 0)))
    total = np.zeros((height, width, x.shape[2]), np.float32)
    product = np.empty_like(total)
    for row in range(kernel.shape[2]):
        for column in range(kernel.shape[3]):
            tap = padded[
                row : row + height * stride : stride, column : column + width * stride : stride
            ]
            np.multiply(tap, kernel[:, 0, row, column], out=product)
            total += product
    return total


def _pointwise(x: Features, kernel: NDArray[np.float32]) -> Features:
    """Mix channels by a (C', C, 1, 1) kernel."""
    return cast("Features", x @ kernel[:, :, 0, 0].T)


def _convolution(x: Features, weights: Weights, name: str, stride: int) -> Features:
    """Full convolution by (C', C, k, k), zeros outside, through one matrix product."""
    kernel = weights[f"{name}.weight"]
    reach = kernel.shape[-1] // 2
    padded = np.pad(x, ((reach, reach), (reach, reach), (0, 0)))
    windows = np.lib.stride_tricks.sliding_window_view(padded, kernel.shape[2:], axis=(0, 1))
    taps = windows[::stride, ::stride]
    columns = taps.reshape(taps.shape[0], taps.shape[1], -1)
    return cast(
        "Features", columns @ kernel.reshape(kernel.shape[0], -1).T + weights[f"{name}.bias"]
    )


def _relu(x: NDArray[np.float32]) -> Features:
    return cast("Features", np.maximum(x, np.float32(0)))


def _square(pixels: NDArray[np.uint8]) -> Features:
    picture = Image.fromarray(np.ascontiguousarray(pixels))
    small = picture.resize((INPUT_SIDE_PX, INPUT_SIDE_PX), Image.Resampling.BICUBIC)
    return np.asarray(small, dtype=np.float32) / np.float32(255)
