"""The subject networks in plain numpy; trained by `auditor.saliency.training`.

Feature maps are (H, W, C) float32 arrays. Names of weights are those of
`auditor.saliency.training.network.export_tensors`.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from functools import cache
from importlib.resources import files
from typing import BinaryIO, cast

import numpy as np
from numpy.typing import NDArray
from PIL import Image
from scipy.special import expit

from auditor.saliency.finder import SubjectMaps

Features = NDArray[np.float32]
Weights = Mapping[str, NDArray[np.float32]]

INPUT_SIDE_PX = 256
WEIGHTS_FILE = "weights.npz"
STRIDES = (1, 2, 1, 2, 1, 2, 1, 1, 2, 1)  # of the encoder's blocks
SKIP_BLOCKS = (7, 4, 2, 0)  # the encoder's blocks that the decoder looks back at
# Values of a feature map that are worked on at a time: with the product and the taps beside them
# (4 bytes each) they fit in half a megabyte of cache; half as many or all at once is slower.
BAND_VALUES = 48_000
REDUCING_GAP = 2.0  # the picture is averaged down to no less than twice the input, then filtered
PREFIXES = ("0.", "1.")  # of the two networks' weights in the file
SUBJECT, ELEMENTS = 0, 1  # places among the maps that the network answers with


MAP_SIDE_PX = 128
# Of 255, between the darkest and the lightest pixel: a frame with less shows nothing at all, and
# networks that never saw one would answer at random.
LEAST_CONTRAST_LEVELS = 6


class NetworkFinder:
    """Finds the subject with two networks, each in one orientation; the same in the mirror.

    Two networks that were trained differently err differently, and their mean errs less than
    either. The first sees a picture with its brighter half on the right, the second the mirrored
    one, so that a picture and its mirror image are given the same work. Where the brightness is
    balanced the two orientations are nearly alike anyway; where it is balanced to the last unit
    both networks see both.
    """

    def __init__(self, pair: tuple[Weights, Weights]) -> None:
        self._pair = pair

    def find(self, pixels: NDArray[np.uint8]) -> SubjectMaps:
        """Map the subject and the placed things; see `auditor.saliency.finder.SubjectFinder`."""
        square = _square(pixels)
        if np.ptp(square, axis=(0, 1)).max() < LEAST_CONTRAST_LEVELS:
            nothing = np.zeros((MAP_SIDE_PX, MAP_SIDE_PX), np.float32)
            return SubjectMaps(subject=nothing, elements=nothing)
        leaning = _brightness_leaning(square)
        straight = square.astype(np.float32) / np.float32(255)
        if leaning > 0:
            maps = self._mean(straight)
        elif leaning < 0:
            maps = self._mean(straight[:, ::-1])[:, ::-1]
        else:
            maps = _half_sum(self._mean(straight), self._mean(straight[:, ::-1])[:, ::-1])
        return SubjectMaps(
            subject=np.ascontiguousarray(maps[..., SUBJECT]),
            elements=np.ascontiguousarray(np.maximum(maps[..., ELEMENTS], maps[..., SUBJECT])),
        )

    def _mean(self, picture: Features) -> Features:
        first, second = self._pair
        return _half_sum(run(first, picture), run(second, picture[:, ::-1])[:, ::-1])


@cache
def trained_finder() -> NetworkFinder:
    """The finder with the weights of this package."""
    return NetworkFinder(exported_weights())


def exported_weights() -> tuple[dict[str, NDArray[np.float32]], dict[str, NDArray[np.float32]]]:
    """The weights of both networks; stored as half floats, used as single ones."""
    with (files("auditor.saliency") / WEIGHTS_FILE).open("rb") as file:
        stored = np.load(cast("BinaryIO", file))
        first, second = (
            {
                name.removeprefix(prefix): stored[name].astype(np.float32)
                for name in stored.files
                if name.startswith(prefix)
            }
            for prefix in PREFIXES
        )
    return first, second


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
    x = _stem(picture - np.float32(0.5), weights["stem.weight"], weights["stem.bias"])
    kept: dict[int, Features] = {}
    for block, stride in enumerate(STRIDES):
        x = _separable(x, weights, f"encoder.{block}", stride)
        if block in SKIP_BLOCKS:
            kept[block] = x
    context = weights["context.weight"] @ x.mean(axis=(0, 1)) + weights["context.bias"]
    x = x + np.maximum(context, 0)
    for place, block in enumerate(SKIP_BLOCKS):
        x = _joined(x, kept[block], weights, place)
        x = _separable(x, weights, f"mixer.{place}", 1)
    return cast("Features", expit(_pointwise(x, weights["head.weight"]) + weights["head.bias"]))


def _stem(x: Features, kernel: NDArray[np.float32], bias: NDArray[np.float32]) -> Features:
    """Full 3 by 3 convolution in steps of two, zeros outside, as one matrix product; rectified."""
    size, channels = kernel.shape[-1], x.shape[2]
    padded = _padded(x, size // 2)
    height, width = x.shape[0] // 2, x.shape[1] // 2
    # A row of a window, all channels, lies together in memory and is copied as one run.
    runs = np.lib.stride_tricks.as_strided(
        padded,
        (height, width, size, size * channels),
        (2 * padded.strides[0], 2 * padded.strides[1], padded.strides[0], padded.strides[2]),
        writeable=False,
    )
    columns = runs.reshape(height * width, -1)
    matrix = kernel.transpose(2, 3, 1, 0).reshape(columns.shape[1], -1)
    total = columns @ matrix
    total += bias
    np.maximum(total, 0, out=total)
    return total.reshape(height, width, -1)


def _separable(x: Features, weights: Weights, name: str, stride: int) -> Features:
    """Depthwise, then pointwise, each rectified; with a shortcut where the shapes agree.

    Worked through in bands of rows that stay in the processor's cache, and along lanes: a row's
    pixels and channels as one axis, since short inner loops cost numpy more than the arithmetic.
    """
    mix = weights[f"{name}.pointwise.weight"]
    height, width, channels = x.shape[0] // stride, x.shape[1] // stride, x.shape[2]
    answer = np.empty((height, width, len(mix)), np.float32)
    taps = _Taps(x, weights[f"{name}.depthwise.weight"], stride)
    bias = np.tile(weights[f"{name}.depthwise.bias"], width)
    mixed_bias = np.tile(weights[f"{name}.pointwise.bias"], width)
    for band in _bands(height, width * channels):
        middle = taps.filtered(band, bias)
        np.maximum(middle, 0, out=middle)
        part = answer[band]
        flat = part.reshape(-1, len(mix))
        np.matmul(middle.reshape(-1, channels), mix[:, :, 0, 0].T, out=flat)
        lanes = part.reshape(len(part), -1)
        lanes += mixed_bias
        if x.shape == answer.shape:
            part += x[band]
        np.maximum(part, 0, out=part)
    return answer


class _Taps:
    """A feature map as seen from each tap of a depthwise kernel, zeros outside."""

    def __init__(self, x: Features, kernel: NDArray[np.float32], stride: int) -> None:
        """Take the (C, 1, k, k) kernel; each channel is filtered by its own k by k taps."""
        self._size, self._stride = kernel.shape[-1], stride
        self._channels, self._lanes = x.shape[2], x.shape[1] // stride * x.shape[2]
        padded = _padded(x, self._size // 2)
        # Every stride-th column, so that what one tap sees of a row lies together.
        planes = [np.ascontiguousarray(padded[:, first::stride]) for first in range(stride)]
        self._planes = [plane.reshape(len(padded), -1) for plane in planes]
        self._kernel = np.tile(kernel[:, 0].transpose(1, 2, 0), x.shape[1] // stride)

    def filtered(self, band: slice, bias: NDArray[np.float32]) -> Features:
        """Rows `band` of the filtered map, as (rows, lanes)."""
        total = np.empty((band.stop - band.start, self._lanes), np.float32)
        total[:] = bias
        product = np.empty_like(total)
        for row in range(self._size):
            rows = slice(band.start * self._stride + row, band.stop * self._stride + row)
            for column in range(self._size):
                first = column // self._stride * self._channels
                plane = self._planes[column % self._stride]
                seen = plane[rows, first : first + self._lanes][:: self._stride]
                np.multiply(seen, self._kernel[row, column], out=product)
                total += product
        return total


def _joined(x: Features, kept: Features, weights: Weights, place: int) -> Features:
    """Enlarge twofold and add what the encoder saw at that size, mixed; rectified."""
    small = _pointwise(x, weights[f"up.{place}.weight"])
    small += weights[f"lateral.{place}.bias"]
    wide = small.repeat(2, axis=1).reshape(len(small), 1, -1)
    joined = _pointwise(kept, weights[f"lateral.{place}.weight"])
    lanes = joined.reshape(len(small), 2, -1)
    lanes += wide
    np.maximum(lanes, 0, out=lanes)
    return joined


def _bands(height: int, lanes: int) -> Iterator[slice]:
    """Divide rows into bands of at most `BAND_VALUES` values, or of one row."""
    step = max(1, BAND_VALUES // lanes)
    for first in range(0, height, step):
        yield slice(first, min(height, first + step))


def _padded(x: Features, reach: int) -> Features:
    height, width, channels = x.shape
    padded = np.empty((height + 2 * reach, width + 2 * reach, channels), np.float32)
    padded[reach:-reach, reach:-reach] = x
    for edge in (padded[:reach], padded[-reach:], padded[:, :reach], padded[:, -reach:]):
        edge[...] = 0
    return padded


def _pointwise(x: Features, kernel: NDArray[np.float32]) -> Features:
    """Mix channels by a (C', C, 1, 1) kernel."""
    mixed = x.reshape(-1, x.shape[2]) @ kernel[:, :, 0, 0].T
    return cast("Features", mixed.reshape(*x.shape[:2], len(kernel)))


def _half_sum(first: Features, second: Features) -> Features:
    return (first + second) * np.float32(0.5)


def _square(pixels: NDArray[np.uint8]) -> NDArray[np.uint8]:
    picture = Image.fromarray(np.ascontiguousarray(pixels))
    small = picture.resize(
        (INPUT_SIDE_PX, INPUT_SIDE_PX), Image.Resampling.BICUBIC, reducing_gap=REDUCING_GAP
    )
    return np.asarray(small)


def _brightness_leaning(square: NDArray[np.uint8]) -> int:
    """Moment of brightness about the middle, positive to the right; whole, so exactly mirrored."""
    columns = square.sum(axis=(0, 2), dtype=np.int64)
    return int(columns @ (2 * np.arange(len(columns)) - (len(columns) - 1)))
