"""Tell a drawn page from a photograph.

A page is one smooth surface of one colour with few thin lines on it; a photograph of food has many
colours, and its darker parts are areas. Four shares of the picture are weighed by logistic
regression.
"""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import NDArray
from scipy import ndimage

from auditor.sketch.ink import PAPER_REDUCTION, block_mean, enlarged, measure_ink

Array = NDArray[np.float32]

RECOGNITION_SIDE_PX = 700
# A picture below this is a photograph. Pages on a dark or patterned desk come near one half.
LEAST_SKETCH = 0.4
# A page whose lines cover less than this share is empty: a single small frame has 0.003.
LEAST_LINES = 0.0005
# Paper: its brightness changes by less than this from one cell of the paper map to the next.
SMOOTH_STEP = 0.03
# Ink: contrast above this, and at least so many standard deviations of the noise.
INK_CONTRAST, INK_SIGMAS = 0.06, 4.0
# A line is no wider than this at this size: ink that an opening of this size keeps is an area.
LINE_PX = 7
SAME_COLOUR = 0.10  # logarithm of the ratio of channels
# For the numbers of `features` in their order; fitted as said above.
WEIGHTS, BIAS = (11.22, 4.91, 0.67, -1.11), -11.09


def is_sketch(rgb: NDArray[np.uint8]) -> float:
    """Probability that a picture is a drawn page, in [0, 1].

    Parameters
    ----------
    rgb : (H, W, 3) uint8 array
        sRGB.
    """
    total = BIAS + sum(w * f for w, f in zip(WEIGHTS, features(rgb), strict=True))
    return 1 / (1 + math.exp(-max(-50.0, min(50.0, total))))


def is_empty(rgb: NDArray[np.uint8]) -> bool:
    """True if nothing is drawn or written on a page."""
    return features(rgb)[2] < math.log10(LEAST_LINES)


def features(rgb: NDArray[np.uint8]) -> tuple[float, float, float, float]:
    """Four numbers that differ between pages and photographs.

    Returns
    -------
    tuple of float
        Share of the picture that is smooth; that is smooth and of one colour; decimal logarithm of
        the share that is thin lines on it; decimal logarithm of dark areas over thin lines.
    """
    factor = max(1, round(max(rgb.shape[:2]) / RECOGNITION_SIDE_PX))
    small = block_mean(rgb.astype(np.float32), factor) / np.float32(255)
    ink = measure_ink(small)
    logs = np.log(ink.paper + 0.02)
    brightness = logs.mean(axis=2)
    steps = np.hypot(*np.gradient(brightness))
    smooth = steps < SMOOTH_STEP
    colour = logs - brightness[..., None]
    usual = np.median(colour[smooth], axis=0) if smooth.any() else np.median(colour, axis=(0, 1))
    alike = np.abs(colour - usual).max(axis=2) < SAME_COLOUR
    is_ink = ink.darkness > np.maximum(INK_CONTRAST, INK_SIGMAS * ink.noise)
    areas = ndimage.binary_opening(is_ink, np.ones((LINE_PX, LINE_PX), dtype=bool))
    shape = is_ink.shape[0], is_ink.shape[1]
    on_paper = enlarged((smooth & alike).astype(np.float32), shape, PAPER_REDUCTION) > 0.5
    lines = float((is_ink & ~areas & on_paper).sum()) + 1
    blots = float((areas & on_paper).sum()) + 1
    return (
        float(smooth.mean()),
        float((smooth & alike).mean()),
        math.log10(lines / on_paper.size),
        math.log10(blots / lines),
    )
