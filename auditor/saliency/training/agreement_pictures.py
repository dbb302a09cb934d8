"""Drawn pictures on which two implementations of the network are compared; needs no torch."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from auditor.saliency.training.backgrounds import clouds, colour
from auditor.saliency.training.composites import SIDE_PX
from auditor.saliency.training.dishes import ellipse

SEED = 7  # of the pictures for which `agreement` saves torch's output
STEP_PX = 4  # every fourth row and column of an output is kept


def drawn_pictures(seed: int, n: int) -> NDArray[np.float32]:
    """Cloudy backgrounds with one or two ellipses: (n, SIDE_PX, SIDE_PX, 3), sRGB in [0, 1]."""
    rng = np.random.default_rng(seed)
    return np.stack([_drawn(rng) for _ in range(n)])


def _drawn(rng: np.random.Generator) -> NDArray[np.float32]:
    picture = colour(rng) * (1 + 0.1 * clouds(rng, SIDE_PX, SIDE_PX))[..., np.newaxis]
    for _ in range(int(rng.integers(1, 3))):
        row, column = rng.uniform(0.2, 0.8, 2) * SIDE_PX
        across, down = rng.uniform(0.08, 0.3, 2) * SIDE_PX
        cover = ellipse(SIDE_PX, SIDE_PX, (row, column), (across, down))[..., np.newaxis]
        picture = picture * (1 - cover) + colour(rng) * cover
    return np.clip(picture, 0, 1).astype(np.float32)
