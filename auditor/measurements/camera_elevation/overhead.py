"""The elevation near straight down, where hardly anything tells 78 from 90 degrees.

The axis ratio of a rim is the sine of the elevation, 0.98 at 78 degrees. Dishes made by hand are
out of round by about as much, so that the usual angles of a camera decide as well.
"""

from __future__ import annotations

import math

import numpy as np

FROM_DEG = 65.0  # below it the axis ratio decides alone
# Standard deviation of the axis ratio of dishes seen from straight above: a plate of 26 cm that is
# 3 mm wider one way than the other. Common practice, no source.
OUT_OF_ROUND = 0.012
# Of the cameras above `FROM_DEG`, those that look straight down; the axis ratios of the others are
# spread evenly. Overhead is one of the three usual angles; common practice, no source.
OVERHEAD_SHARE = 0.5
STEP_DEG = 0.25


def near_overhead(elevation_deg: float, error_deg: float, n_rims: int) -> tuple[float, float]:
    """Median of the elevations of cameras that see such rims, and their spread around it.

    Parameters
    ----------
    elevation_deg : float
        As the axis ratios of the rims have it.
    error_deg : float
        Standard error of that.
    n_rims : int
        That agree; they are out of round independently.

    Returns
    -------
    tuple of two floats
        Degrees; the spread is the root of the mean square.
    """
    if elevation_deg < FROM_DEG:
        return elevation_deg, error_deg
    angles = np.arange(FROM_DEG - 10, 90 + STEP_DEG, STEP_DEG)
    usual = np.cos(np.radians(angles))
    usual *= (1 - OVERHEAD_SHARE) / usual[angles >= FROM_DEG].sum()
    usual[-1] += OVERHEAD_SHARE
    # de = dr / cos e, which ends before straight down; see `consensus.pose_of_rim`.
    slope = math.cos(math.radians(min(elevation_deg, 85.0)))
    spread = math.hypot(OUT_OF_ROUND / math.sqrt(n_rims), slope * math.radians(error_deg))
    apart = np.sin(np.radians(angles)) - math.sin(math.radians(elevation_deg))
    weights = usual * np.exp(-0.5 * (apart / spread) ** 2)
    below = np.cumsum(weights)
    median = float(np.interp(0.5 * below[-1], below, angles))
    return median, float(np.sqrt(np.average((angles - median) ** 2, weights=weights)))
