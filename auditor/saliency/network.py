"""The subject network in plain numpy; trained by `auditor.saliency.training`.

Names of weights are those of `auditor.saliency.training.network.export_tensors`.
"""

from __future__ import annotations

from functools import cache
from importlib.resources import files
from typing import BinaryIO, cast

import numpy as np
from numpy.typing import NDArray
from PIL import Image
from scipy.special import expit

from auditor.saliency.finder import SubjectMaps
from auditor.saliency.layers import Block, Features, SkipConnection, Stem, Weights

INPUT_SIDE_PX = 256
WEIGHTS_FILE = "weights.npz"
MIDDLE, SCALE = np.float32(127 / 255), np.float32(255 / 128)  # of the input, as it was trained
STRIDES = (1, 2, 1, 2, 1, 2, 1, 1, 1, 1, 1)  # of the encoder's blocks
SKIP_BLOCKS = (10, 4, 2, 0)  # the encoder's blocks with a skip connection to the decoder
DEEP_STRIDES = (2, 1)
OUTPUT_SIDE_PX = INPUT_SIDE_PX // 2
SUBJECT, ELEMENTS, CORES = 0, 1, 2  # indices of the output maps
# Of 255, between the darkest and the lightest pixel: a frame with less is blank. The network was
# never trained on one and its output would be random.
MIN_CONTRAST_LEVELS = 6


class NumpyNetwork:
    """The network with its weights arranged for numpy.

    Parameters
    ----------
    weights : mapping of str to array
        With the normalisations folded in.
    side : int
        Of the square input, in px; a multiple of 32.
    """

    def __init__(self, weights: Weights, side: int = INPUT_SIDE_PX) -> None:
        self._stem = Stem(weights)
        width = side // 2
        self._encoder = []
        for place, stride in enumerate(STRIDES):
            name = f"encoder.{place}"
            self._encoder.append(
                Block(weights, name, width, stride, mix="project", rectified=False)
            )
            width //= stride
        self._deep = []
        for place, stride in enumerate(DEEP_STRIDES):
            name = f"deep.{place}"
            self._deep.append(Block(weights, name, width, stride, mix="pointwise", rectified=True))
            width //= stride
        self._context = weights["context.weight"], weights["context.bias"]
        self._skips, self._mixers = [], []
        for place in range(len(SKIP_BLOCKS)):
            width *= 2
            name = f"mixers.{place}"
            self._skips.append(SkipConnection(weights, place))
            self._mixers.append(Block(weights, name, width, 1, mix="pointwise", rectified=True))
        self._head = weights["head.weight"][:, :, 0, 0].T, weights["head.bias"]

    def __call__(self, picture: Features) -> Features:
        """Apply the network.

        Parameters
        ----------
        picture : (side, side, 3) float32 array
            sRGB in [0, 1].

        Returns
        -------
        (side / 2, side / 2, n) float32 array
            Probabilities, in [0, 1]: of subject, placed thing and core of a thing, for the subject
            network.
        """
        x = self._stem((picture - MIDDLE) * SCALE)
        kept: dict[int, Features] = {}
        for place, block in enumerate(self._encoder):
            x = block(x)
            kept[place] = x
        for block in self._deep:
            x = block(x)
        matrix, bias = self._context
        x = x + np.maximum(matrix @ x.mean(axis=(0, 1)) + bias, 0)
        for place, skip, mixer in zip(SKIP_BLOCKS, self._skips, self._mixers, strict=True):
            x = mixer(skip(x, kept[place]))
        matrix, bias = self._head
        return cast("Features", expit(x @ matrix + bias))


class NetworkFinder:
    """Finds the subject with the network; a mirror image gives exactly mirrored maps.

    The picture is mirrored, if necessary, so that its brighter half is on the right. A picture and
    its mirror image are then the same input. If the brightness is exactly balanced, the network
    runs on both and the outputs are averaged.
    """

    def __init__(self, weights: Weights) -> None:
        self._network = NumpyNetwork(weights)

    def find(self, pixels: NDArray[np.uint8]) -> SubjectMaps:
        """Map the subject and the placed things; see `auditor.saliency.finder.SubjectFinder`."""
        square = _square(pixels)
        if _contrast(square) < MIN_CONTRAST_LEVELS:
            empty = np.zeros((OUTPUT_SIDE_PX, OUTPUT_SIDE_PX), np.float32)
            return SubjectMaps(subject=empty, elements=empty, cores=empty)
        moment = _brightness_moment(square)
        picture = square.astype(np.float32) / np.float32(255)
        if moment > 0:
            maps = self._network(picture)
        elif moment < 0:
            maps = self._mirrored(picture)
        else:
            maps = (self._network(picture) + self._mirrored(picture)) * np.float32(0.5)
        return SubjectMaps(
            subject=np.ascontiguousarray(maps[..., SUBJECT]),
            elements=np.ascontiguousarray(np.maximum(maps[..., ELEMENTS], maps[..., SUBJECT])),
            cores=np.ascontiguousarray(maps[..., CORES]),
        )

    def _mirrored(self, picture: Features) -> Features:
        return self._network(picture[:, ::-1])[:, ::-1]


@cache
def trained_finder() -> NetworkFinder:
    """The finder with the weights of this package."""
    return NetworkFinder(exported_weights())


def exported_weights() -> dict[str, NDArray[np.float32]]:
    """The weights of the network; stored in half precision, used in single precision."""
    with (files("auditor.saliency") / WEIGHTS_FILE).open("rb") as file:
        stored = np.load(cast("BinaryIO", file), allow_pickle=False)
        return {name: stored[name].astype(np.float32) for name in stored.files}


def _square(pixels: NDArray[np.uint8]) -> NDArray[np.uint8]:
    """Resize a picture to the network's input; a mirror image gives the exactly mirrored square.

    The filter is applied to the whole picture at once. Averaging blocks first would be faster, but
    if the sides are not multiples of the block, the last block is partial, and only on one side.
    """
    if pixels.ndim != 3 or pixels.shape[2] != 3 or pixels.dtype != np.uint8 or pixels.size == 0:
        raise ValueError(f"pixels must be (H, W, 3) uint8, not {pixels.shape} {pixels.dtype}")
    picture = Image.fromarray(np.ascontiguousarray(pixels))
    return np.asarray(picture.resize((INPUT_SIDE_PX, INPUT_SIDE_PX), Image.Resampling.BICUBIC))


def _contrast(square: NDArray[np.uint8]) -> int:
    """Largest difference of two pixels in one of the colours."""
    rows = square.reshape(len(square), -1)
    highest, lowest = (
        ends.reshape(square.shape[1:]) for ends in (rows.max(axis=0), rows.min(axis=0))
    )
    return int((highest.max(axis=0) - lowest.min(axis=0)).max())


def _brightness_moment(square: NDArray[np.uint8]) -> int:
    """Integer moment of brightness about the middle, positive if the right half is brighter."""
    # Along whole rows first: the axis of three colours is too short for numpy.
    values = square.reshape(len(square), -1).sum(axis=0, dtype=np.int64)
    columns = values.reshape(square.shape[1:]).sum(axis=1)
    return int(columns @ (2 * np.arange(len(columns)) - (len(columns) - 1)))
