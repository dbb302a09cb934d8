"""Near-duplicates: pairs of pictures that show the same."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from auditor.measurements.fingerprint import (
    NEAR_DUPLICATE_DIFFERENCE,
    decode_fingerprints,
    fingerprint_differences,
)
from auditor.measurements.measured_photograph import MeasuredPhotograph

PICTURES_AT_ONCE = 512  # compared with all later ones: bounds the memory of a large set


def find_duplicates(measured: Sequence[MeasuredPhotograph]) -> tuple[tuple[str, str], ...]:
    """All pairs of pictures that can hardly be distinguished, in the order of the set."""
    files = [picture.file for picture in measured]
    layouts = decode_fingerprints([picture.fingerprint for picture in measured])
    pairs: list[tuple[str, str]] = []
    for start in range(0, len(files), PICTURES_AT_ONCE):
        some = layouts.part(start, start + PICTURES_AT_ONCE)
        near = fingerprint_differences(some, layouts.part(start)) <= NEAR_DUPLICATE_DIFFERENCE
        # Above the diagonal each pair stands once, and no picture beside itself.
        first, second = np.nonzero(np.triu(near, k=1))
        pairs += [
            (files[start + i], files[start + j])
            for i, j in zip(first.tolist(), second.tolist(), strict=True)
        ]
    return tuple(pairs)
