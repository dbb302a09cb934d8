"""The vertex of a parabola through three samples: a maximum between two steps of a grid."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray


def vertex(values: NDArray[np.floating], at: int) -> float:
    """Position, relative to `at`, of the maximum of the parabola through three values around it."""
    if not 0 < at < len(values) - 1:
        return 0.0
    before, here, after = (float(value) for value in values[at - 1 : at + 2])
    bend = before - 2 * here + after
    return (before - after) / (2 * bend) if bend < 0 else 0.0
