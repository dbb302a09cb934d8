"""A line with fewer points.

Douglas, Peucker: Algorithms for the reduction of the number of points required to represent a
digitized line or its caricature, Cartographica 10 (1973). The same in scikit-image would load
`scipy.signal` and `scipy.stats` into every process that measures.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray


def thinned(line: NDArray[np.float64], tolerance: float) -> NDArray[np.float64]:
    """The points of a line that are needed so that none lies farther off than the tolerance.

    Parameters
    ----------
    line : (n, 2) float array
        At least two points; the first and the last stay.
    tolerance : float
        In the unit of the points.

    Returns
    -------
    (m, 2) float array
        Some of the points, in their order.
    """
    stays = np.zeros(len(line), dtype=np.bool_)
    stays[[0, -1]] = True
    parts = [(0, len(line) - 1)]
    while parts:
        first, last = parts.pop()
        if last - first < 2:
            continue
        distances = _distances(line[first + 1 : last], line[first], line[last])
        farthest = int(distances.argmax())
        if distances[farthest] > tolerance:
            middle = first + 1 + farthest
            stays[middle] = True
            parts += [(first, middle), (middle, last)]
    return line[stays]


def _distances(
    points: NDArray[np.float64], start: NDArray[np.float64], end: NDArray[np.float64]
) -> NDArray[np.float64]:
    """Distances of points (n, 2) from the stretch between two others."""
    along = end - start
    length = float(along @ along)
    shares = np.clip((points - start) @ along / length, 0, 1) if length else np.zeros(len(points))
    rest = points - start - shares[:, np.newaxis] * along
    return np.asarray(np.hypot(rest[:, 0], rest[:, 1]))
