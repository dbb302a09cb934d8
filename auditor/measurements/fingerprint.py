"""A small fingerprint of a picture, to find near-duplicates."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray


def fingerprint(pixels: NDArray[np.uint8]) -> str:
    """Fingerprint of (H, W, 3) uint8 sRGB pixels, as hexadecimal text of fixed length."""
    raise NotImplementedError


def fingerprint_difference(first: str, second: str) -> float:
    """How different two fingerprints are: 0 the same picture, about 1 unrelated pictures."""
    raise NotImplementedError
