"""Keypoints of a picture, by which another crop of the same photograph can be found.

`scale_space` finds the keypoints, `patches` describes the neighbourhood of each, `packing` makes
them small enough to be remembered, and `measure` combines everything.
"""

from auditor.measurements.keypoints.measure import measure_keypoints
from auditor.measurements.keypoints.packing import (
    PATCH_STEPS,
    DecodedKeypoints,
    Keypoints,
    decode_keypoints,
    decode_lightness,
)

__all__ = [
    "PATCH_STEPS",
    "DecodedKeypoints",
    "Keypoints",
    "decode_keypoints",
    "decode_lightness",
    "measure_keypoints",
]
