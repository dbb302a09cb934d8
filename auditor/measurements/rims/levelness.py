"""How far a level dish may look tilted, depending on its position in the frame.

Away from the optical axis the minor axis of a level circle points at the nadir. At a distance x to
the right of the middle, with focal length f, a camera that looks down by e shows the major axis
tilted by about x tan(e) / f, the outer end lower. Any further tilt is roll or, near overhead, where
a rim is almost round, the direction in which the camera leans.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]

# Limits on n = cos(e) sin(tilt), the sideways component of the plane's normal.
ROLL_SINE = 0.21  # a camera rolled by 12 degrees
WIDEST_LENS = 2.0  # diagonal over focal length: 24 mm on 36 mm by 24 mm, with its distortion
LEANING_SINE = 0.34  # an overhead camera may lean by 20 degrees in any direction
OVERHEAD_COSINES = (0.35, 0.5)  # 70 degrees is meant as overhead, 60 degrees is not


def is_level(ellipses: Floats, shape: tuple[int, int]) -> NDArray[np.bool_]:
    """True for each ellipse that a dish on a level table may have, seen by a camera held level.

    Parameters
    ----------
    ellipses : (K, 5) float array
        In pixels.
    shape : tuple of int
        Height and width of the frame in pixels.

    Returns
    -------
    (K,) bool array
    """
    cx, _, a, b, theta = ellipses.T
    sine = np.minimum(b / a, 1.0)
    cosine = np.sqrt(1 - sine**2)
    folded = np.where(np.cos(theta) < 0, theta + np.pi, theta)
    aside = cosine * np.sin(folded)
    expected = WIDEST_LENS * (cx - shape[1] / 2) / np.hypot(*shape) * sine
    lean = np.interp(cosine, OVERHEAD_COSINES, (LEANING_SINE, 0.0))
    slack = ROLL_SINE * cosine + lean
    return np.asarray(
        (aside >= np.minimum(expected, 0) - slack) & (aside <= np.maximum(expected, 0) + slack)
    )
