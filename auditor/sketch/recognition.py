"""Tell a drawn page from a photograph.

A page is one smooth surface of one colour with few thin lines on it; a photograph of food has
coloured things, and its darker parts are areas. Five shares of the picture are weighed by logistic
regression, fitted on 96 pages, empty ones among them, and 96 photographs and renderings of food.
"""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import NDArray
from scipy import ndimage

from auditor.sketch.coloured import coloured_share
from auditor.sketch.ink import PAPER_REDUCTION, block_mean, enlarged, measure_ink

Array = NDArray[np.float32]

RECOGNITION_SIDE_PX = 700
# A picture below this is a photograph. Of the pictures of the fit but one, no photograph had more
# than 0.39, no page less than 0.46 (an empty one), no drawn page less than 0.69 (half a dark desk).
LEAST_SKETCH = 0.43
# A page whose lines cover less than this share is empty: a single small frame has 0.003.
LEAST_LINES = 0.0005
# Paper: its brightness changes by less than this from one cell of the paper map to the next.
SMOOTH_STEP = 0.03
# Ink: contrast above this, and at least so many standard deviations of the noise.
INK_CONTRAST, INK_SIGMAS = 0.06, 4.0
# A line is no wider than this at this size: ink that an opening of this size keeps is an area.
LINE_PX = 7
SAME_COLOUR = 0.10  # logarithm of the ratio of channels
LEAST_COLOURED = 0.001  # share of the picture; less is counted as that much
# Fewer lines than this share of a picture count as that many: an empty page is a page. Dark areas
# over lines count between these limits, as logarithms.
FEWEST_LINES, FEWEST_BLOTS, MOST_BLOTS = -2.7, -3.0, -0.5
# For the numbers of `features` in their order and the logarithm of the coloured share.
WEIGHTS, BIAS = (5.08, 2.87, 2.30, -0.43, -1.67), -5.48


def is_sketch(rgb: NDArray[np.uint8]) -> float:
    """Probability that a picture is a drawn page, in [0, 1].

    Parameters
    ----------
    rgb : (H, W, 3) uint8 array
        sRGB.
    """
    smooth, alike, lines, blots = features(rgb)
    counted = max(lines, FEWEST_LINES)
    blots = min(max(blots + lines - counted, FEWEST_BLOTS), MOST_BLOTS)
    coloured = math.log10(coloured_share(rgb) + LEAST_COLOURED)
    shares = smooth, alike, counted, blots, coloured
    total = BIAS + sum(w * share for w, share in zip(WEIGHTS, shares, strict=True))
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
