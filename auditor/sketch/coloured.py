"""How much of a picture is coloured things: of a photograph of food some, of a pencil page none."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray
from PIL import Image
from scipy import ndimage
from skimage.color import rgb2lab

SIDE_PX = 300  # enough for a garnish, and too little for the printed lines of a page
PAPER_PERCENTILE = 60  # of lightness: what is lighter is mostly paper, or table
# Difference from the paper in a* and b*, from which on something is coloured: the shades and stains
# of paper stay below (our choice, no source).
COLOURED = 20.0
# What the edge cuts is followed down to this difference: wood is coloured in streaks.
WEAKLY_COLOURED = 16.0
LEAST_WIDTH_PX = 3  # at that size; narrower things are lines


def coloured_share(rgb: NDArray[np.uint8]) -> float:
    """Share of the picture that coloured things cover which its edge does not cut.

    What the edge cuts may be the desk on which a page lies.

    Parameters
    ----------
    rgb : (H, W, 3) uint8 array
        sRGB.
    """
    small = Image.fromarray(rgb)
    small.thumbnail((SIDE_PX, SIDE_PX))
    lab = rgb2lab(np.asarray(small))
    light = lab[..., 0] >= np.percentile(lab[..., 0], PAPER_PERCENTILE)
    paper = np.median(lab[light][:, 1:], axis=0)
    off = np.hypot(lab[..., 1] - paper[0], lab[..., 2] - paper[1])
    labels, _ = ndimage.label(_opened(off > WEAKLY_COLOURED))
    cut = np.concatenate([labels[0], labels[-1], labels[:, 0], labels[:, -1]])
    return float((_opened(off > COLOURED) & ~np.isin(labels, cut[cut > 0])).mean())


def _opened(mask: NDArray[np.bool_]) -> NDArray[np.bool_]:
    """Without what is narrower than `LEAST_WIDTH_PX`."""
    square = np.ones((LEAST_WIDTH_PX, LEAST_WIDTH_PX))
    return np.asarray(ndimage.binary_opening(mask, square))
