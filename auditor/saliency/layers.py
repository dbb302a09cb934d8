"""Layers of the subject network in plain numpy, prepared once for maps of one size.

Feature maps are (H, W, C) float32 arrays. The pixels and channels of a row form one axis of lanes,
because short inner loops cost numpy more than the arithmetic. Rows are processed in bands that
fit into the processor's cache.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping

import numpy as np
from numpy.typing import NDArray

Features = NDArray[np.float32]
Weights = Mapping[str, NDArray[np.float32]]

# Values of a feature map that are processed at a time: together with the product and the taps
# (4 bytes each) they fit into the cache; half as many or all at once is slower.
BAND_VALUES = 96_000
# An expanded map of at most this many values is computed once. A larger one is computed band by
# band: rows that two bands share are computed twice but never leave the cache.
WHOLE_VALUES = 400_000
CEILING = np.float32(6)  # of the clipped rectifier


class Block:
    """Optional expansion, depthwise convolution, pointwise mix; rectified in between.

    If input and output have the same shape, the input is added before the last rectifier.

    Parameters
    ----------
    weights : mapping of str to array
        With the normalisations folded in: `expand` if there is one, `depthwise`, and `project` or
        `pointwise`, all under `name`.
    name : str
    width : int
        Of the input maps, in pixels.
    stride : int
    mix : str
        Name of the last layer.
    rectified : bool
        True if a rectifier follows it.
    """

    def __init__(
        self, weights: Weights, name: str, width: int, stride: int, *, mix: str, rectified: bool
    ) -> None:
        kernel = weights[f"{name}.depthwise.weight"]
        self._channels, self._size, self._stride = len(kernel), kernel.shape[-1], stride
        columns = width // stride
        self._lanes = columns * self._channels
        tiled = np.tile(kernel[:, 0].transpose(1, 2, 0), columns)
        self._kernels = [np.ascontiguousarray(tiled[:, first::stride]) for first in range(stride)]
        self._bias = np.tile(weights[f"{name}.depthwise.bias"], columns)
        self._mix = np.ascontiguousarray(weights[f"{name}.{mix}.weight"][:, :, 0, 0].T)
        self._mix_bias = np.tile(weights[f"{name}.{mix}.bias"], columns)
        self._rectified = rectified
        self._expand: Features | None = None
        if f"{name}.expand.weight" in weights:
            # The bias is the weight of an additional channel, which is 1 in the frame and 0 around
            # it, so that the padding stays 0 after the expansion.
            bias = weights[f"{name}.expand.bias"]
            self._expand = np.vstack([weights[f"{name}.expand.weight"][:, :, 0, 0].T, bias])

    def __call__(self, x: Features) -> Features:
        """Apply the block to (H, W, C); the result is (H / stride, W / stride, C')."""
        height, width = x.shape[0] // self._stride, x.shape[1] // self._stride
        answer = np.empty((height, width, self._mix.shape[1]), np.float32)
        planes = self._planes(x)
        n_values = sum(plane.shape[0] * plane.shape[1] for plane in planes) * self._channels
        whole = [self._expanded(plane) for plane in planes] if n_values <= WHOLE_VALUES else None
        for band in _bands(height, self._lanes):
            rows = slice(band.start * self._stride, (band.stop - 1) * self._stride + self._size)
            views = (
                [self._expanded(plane[rows]) for plane in planes]
                if whole is None
                else [plane[rows] for plane in whole]
            )
            part = answer[band]
            middle = self._filtered(views, len(part))
            np.matmul(
                middle.reshape(-1, self._channels), self._mix, out=part.reshape(-1, part.shape[2])
            )
            lanes = part.reshape(len(part), -1)
            lanes += self._mix_bias
            if x.shape == answer.shape:
                part += x[band]
            if self._rectified:
                np.clip(lanes, 0, CEILING, out=lanes)
        return answer

    def _planes(self, x: Features) -> list[Features]:
        """Every stride-th column of the padded map, so that the input of one tap is contiguous."""
        padded = _padded(x, self._size, self._stride, n_more=self._expand is not None)
        return [
            np.ascontiguousarray(padded[:, first :: self._stride]) for first in range(self._stride)
        ]

    def _expanded(self, plane: Features) -> Features:
        """Rows of lanes of a plane, expanded."""
        if self._expand is None:
            return plane.reshape(len(plane), -1)
        wide = plane.reshape(-1, plane.shape[2]) @ self._expand
        np.clip(wide, 0, CEILING, out=wide)
        return wide.reshape(len(plane), -1)

    def _filtered(self, views: list[Features], n_rows: int) -> Features:
        """The depthwise layer and its rectifier; `views` start at the rows of the first tap."""
        parts: list[Features] = []
        for view, kernel in zip(views, self._kernels, strict=True):
            down, across = view.strides
            strides = (self._stride * down, down, self._channels * across, across)
            taps = np.ndarray((n_rows, *kernel.shape), np.float32, view, strides=strides)
            # One pass over each tap, where a product and its sum would be two.
            parts.append(np.einsum("nrcl,rcl->nl", taps, kernel))
        total = parts[0]
        for other in (*parts[1:], self._bias):
            total += other
        return np.clip(total, 0, CEILING, out=total)


class Stem:
    """Full convolution with stride 2 and zero padding as one matrix product; rectified."""

    def __init__(self, weights: Weights) -> None:
        kernel = weights["stem.weight"]
        self._size = kernel.shape[-1]
        self._matrix = kernel.transpose(2, 3, 1, 0).reshape(-1, len(kernel))
        self._bias = weights["stem.bias"]

    def __call__(self, x: Features) -> Features:
        """Apply the layer to (H, W, 3); the result is (H / 2, W / 2, C)."""
        size, channels = self._size, x.shape[2]
        padded = _padded(x, size, 2)
        height, width = x.shape[0] // 2, x.shape[1] // 2
        # A row of a window with all channels is contiguous in memory and is copied as one run.
        runs = np.lib.stride_tricks.as_strided(
            padded,
            (height, width, size, size * channels),
            (2 * padded.strides[0], 2 * padded.strides[1], padded.strides[0], padded.strides[2]),
            writeable=False,
        )
        total = runs.reshape(height * width, -1) @ self._matrix
        total += self._bias
        np.clip(total, 0, CEILING, out=total)
        return total.reshape(height, width, -1)


class SkipConnection:
    """Enlarge twofold and add the encoder's features of that size, mixed; rectified."""

    def __init__(self, weights: Weights, place: int) -> None:
        self._up = _matrix(weights[f"up.{place}.weight"])
        self._lateral = _matrix(weights[f"lateral.{place}.weight"])
        self._bias = weights[f"lateral.{place}.bias"]

    def __call__(self, x: Features, kept: Features) -> Features:
        """Combine (H, W, C) with encoder features (2 H, 2 W, K)."""
        small = x @ self._up
        small += self._bias
        wide = small.repeat(2, axis=1).reshape(len(small), 1, -1)
        joined: Features = kept @ self._lateral
        lanes = joined.reshape(len(small), 2, -1)
        lanes += wide
        np.clip(lanes, 0, CEILING, out=lanes)
        return joined


def _matrix(kernel: NDArray[np.float32]) -> Features:
    """A (C', C, 1, 1) kernel as a (C, C') matrix."""
    return np.ascontiguousarray(kernel[:, :, 0, 0].T)


def _bands(height: int, lanes: int) -> Iterator[slice]:
    """Divide rows into bands of at most `BAND_VALUES` values, or of one row."""
    step = max(1, BAND_VALUES // lanes)
    for first in range(0, height, step):
        yield slice(first, min(height, first + step))


def _padded(x: Features, size: int, stride: int, *, n_more: int = 0) -> Features:
    """Zero padding around x for a kernel, and additional channels of ones within the frame."""
    height, width, channels = x.shape
    around = size - stride
    before = around // 2
    padded = np.zeros((height + around, width + around, channels + n_more), np.float32)
    inside = padded[before : before + height, before : before + width]
    inside[..., :channels] = x
    inside[..., channels:] = 1
    return padded
