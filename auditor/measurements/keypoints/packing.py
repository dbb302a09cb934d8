"""Keypoints and a reduced picture as short texts, and back."""

from __future__ import annotations

import base64
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from auditor.measurements.keypoints.patches import N_WAVES

PLACE_STEPS = 65535
"""Steps from one side of the frame to the other."""

SCALE_STEPS_PER_OCTAVE = 20
"""A step is 3.5 % of the size of a keypoint, less than the error of its estimate."""

SMALLEST_SCALE_OCTAVES = -12.0
"""Of the longest side; below every size that can be found."""

PATCH_STEPS = 127
"""Steps of a wave from 0 to 1."""

LIGHTNESS_STEPS = 2.55
"""Steps per unit of CIELAB lightness."""

_POINT = np.dtype(
    [("x", "<u2"), ("y", "<u2"), ("scale", "u1"), ("dark", "u1"), ("patch", "i1", N_WAVES)]
)


@dataclass(frozen=True, slots=True)
class Keypoints:
    """What of a picture is needed to find other crops of it.

    Attributes
    ----------
    points : str
        The keypoints, packed, in base 64; `decode_keypoints` reads them.
    lightness : str
        A reduced picture, packed, in base 64; `decode_lightness` reads it.
    """

    points: str
    lightness: str


@dataclass(frozen=True, slots=True)
class DecodedKeypoints:
    """N keypoints.

    Attributes
    ----------
    x, y : (N,) float array
        Fractions of the frame.
    scale : (N,) float array
        Sigma of the spot, as a fraction of the frame's longest side.
    is_dark : (N,) bool array
    patch : (N, N_WAVES) int8 array
        The neighbourhood, in `PATCH_STEPS`.
    """

    x: NDArray[np.float64]
    y: NDArray[np.float64]
    scale: NDArray[np.float64]
    is_dark: NDArray[np.bool_]
    patch: NDArray[np.int8]


def encode_keypoints(
    x: NDArray[np.float64],
    y: NDArray[np.float64],
    scale: NDArray[np.float64],
    is_dark: NDArray[np.bool_],
    patch: NDArray[np.float64],
) -> str:
    """Pack keypoints; the parameters are those of `DecodedKeypoints`, waves in [-1, 1]."""
    packed = np.empty(len(x), dtype=_POINT)
    packed["x"] = np.rint(np.clip(x, 0, 1) * PLACE_STEPS)
    packed["y"] = np.rint(np.clip(y, 0, 1) * PLACE_STEPS)
    octaves = np.log2(scale) - SMALLEST_SCALE_OCTAVES
    packed["scale"] = np.rint(np.clip(octaves * SCALE_STEPS_PER_OCTAVE, 0, 255))
    packed["dark"] = is_dark
    packed["patch"] = np.rint(np.clip(patch, -1, 1) * PATCH_STEPS)
    return base64.b64encode(packed.tobytes()).decode("ascii")


def decode_keypoints(text: str) -> DecodedKeypoints:
    """Read packed keypoints.

    Raises
    ------
    ValueError
        If the text is not one of this version.
    """
    packed = np.frombuffer(base64.b64decode(text, validate=True), dtype=_POINT)
    octaves = packed["scale"] / SCALE_STEPS_PER_OCTAVE + SMALLEST_SCALE_OCTAVES
    return DecodedKeypoints(
        packed["x"] / PLACE_STEPS,
        packed["y"] / PLACE_STEPS,
        2.0**octaves,
        packed["dark"] > 0,
        packed["patch"],
    )


def encode_lightness(lightness: NDArray[np.floating]) -> str:
    """Pack (rows, columns) CIELAB lightness of at most 255 rows and columns."""
    shape = np.array(lightness.shape, dtype=np.uint8)
    values = np.clip(np.rint(lightness * LIGHTNESS_STEPS), 0, 255).astype(np.uint8)
    return base64.b64encode(shape.tobytes() + values.tobytes()).decode("ascii")


def decode_lightness(text: str) -> NDArray[np.float32]:
    """Read packed lightness, (rows, columns), in [0, 100].

    Raises
    ------
    ValueError
        If the text is not one of this version.
    """
    packed = np.frombuffer(base64.b64decode(text, validate=True), dtype=np.uint8)
    values = packed[2:].reshape(packed[0], packed[1])
    return values.astype(np.float32) / np.float32(LIGHTNESS_STEPS)
