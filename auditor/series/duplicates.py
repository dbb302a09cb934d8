"""Near-duplicates: two frames that show the same."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import combinations

from auditor.measurements.fingerprint import NEAR_DUPLICATE_DIFFERENCE, fingerprint_difference
from auditor.measurements.measured_photograph import MeasuredPhotograph


def find_duplicates(measured: Sequence[MeasuredPhotograph]) -> tuple[tuple[str, str], ...]:
    """All pairs of pictures that can hardly be told apart, in the order of the set."""
    return tuple(
        (first.file, second.file)
        for first, second in combinations(measured, 2)
        if fingerprint_difference(first.fingerprint, second.fingerprint)
        <= NEAR_DUPLICATE_DIFFERENCE
    )
