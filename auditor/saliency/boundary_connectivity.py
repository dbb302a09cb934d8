"""Salient regions from their connection to the frame's border.

Zhu, Liang, Wei, Sun: Saliency Optimization from Robust Background Detection, CVPR 2014. A region
of the ground touches the border along a length that is large for its area; a thing does not, even
where it is cropped a little.
"""

from __future__ import annotations

from typing import cast

import numpy as np
from scipy.sparse import coo_matrix, diags
from scipy.sparse.linalg import spsolve

from skimage.filters import threshold_otsu

from auditor.saliency.superpixels import Floats, Superpixels, colour_distances, geodesic_distances

COLOUR_SIGMA = 10.0  # CIELAB units within which colours belong together; the paper's value
FAR = 3.5  # in `COLOUR_SIGMA`: what is further apart shares less than 0.3 %
SPATIAL_SIGMA = 0.4  # fraction of the longer side within which contrast counts; the paper has 0.25
CONNECTIVITY_SIGMA = 1.0  # boundary connectivity at which a region is likely ground; the paper's
SMOOTHNESS_FLOOR = 0.1  # least pull between neighbours, against specks; the paper's value

BACKGROUND_WEIGHT = 5.0  # how much more a likely ground holds than a likely thing; the authors' code


def boundary_connectivity(superpixels: Superpixels, colour: Floats) -> Floats:
    """Length on the border over the root of the area of each superpixel's soft region, (n,)."""
    on_border = np.flatnonzero(superpixels.border.sum(axis=1) > 0)
    i, j = np.triu_indices(on_border.size, 1)
    pairs = np.concatenate(
        [superpixels.neighbours, np.stack([on_border[i], on_border[j]], axis=1)]
    )
    pairs = np.unique(np.sort(pairs, axis=1), axis=0)
    costs = colour[pairs[:, 0], pairs[:, 1]]
    floor = _insignificant_step(superpixels, colour)
    ways = geodesic_distances(
        superpixels.n, pairs, np.maximum(costs - floor, 0.0), limit=FAR * COLOUR_SIGMA
    )
    alike = np.exp(-((ways / COLOUR_SIGMA) ** 2) / 2)
    length = alike @ superpixels.border.sum(axis=1)
    height, width = superpixels.labels.shape
    square_sides = superpixels.area * (height * width / max(height, width) ** 2)
    return cast("Floats", length / np.sqrt(alike @ square_sides))


def _insignificant_step(superpixels: Superpixels, colour: Floats) -> float:
    """Mean over the superpixels of the distance to the most similar neighbour."""
    first, second = superpixels.neighbours.T
    steps = colour[first, second]
    smallest = np.full(superpixels.n, np.inf)
    np.minimum.at(smallest, first, steps)
    np.minimum.at(smallest, second, steps)
    return float(smallest[np.isfinite(smallest)].mean()) if superpixels.n > 1 else 0.0


def background_probability(connectivity: Floats) -> Floats:
    """Probability of being ground, (n,), from boundary connectivity."""
    return cast("Floats", 1 - np.exp(-(connectivity**2) / (2 * CONNECTIVITY_SIGMA**2)))


def background_weighted_contrast(
    superpixels: Superpixels, colour: Floats, background: Floats
) -> Floats:
    """Contrast of each superpixel against the likely ground, in [0, 1], (n,)."""
    gap = superpixels.position[:, np.newaxis] - superpixels.position[np.newaxis]
    nearness = np.exp(-(gap**2).sum(axis=2) / (2 * SPATIAL_SIGMA**2))
    weights = nearness * (background * superpixels.area)[np.newaxis]
    contrast = (colour * weights).sum(axis=1)
    contrast -= contrast.min()
    top = float(contrast.max())
    if top <= 0:
        return np.zeros(superpixels.n)
    contrast /= top
    return cast("Floats", np.where(contrast >= threshold_otsu(contrast), contrast, 0.0))


def optimise(
    superpixels: Superpixels, colour: Floats, background: Floats, foreground: Floats
) -> Floats:
    """Values in [0, 1], (n,), that are low on ground, high on things and smooth between alikes."""
    first, second = superpixels.neighbours.T
    pull = (
        np.exp(-(colour[first, second] ** 2) / (2 * COLOUR_SIGMA**2)) + SMOOTHNESS_FLOOR
    )
    shape = (superpixels.n, superpixels.n)
    weights = coo_matrix((pull, (first, second)), shape=shape)
    weights = (weights + weights.T).tocsr()
    degrees = np.asarray(weights.sum(axis=1)).ravel()
    system = diags(degrees + background + foreground) - weights
    return cast("Floats", np.clip(spsolve(system.tocsc(), foreground), 0, 1))


def boundary_saliency(superpixels: Superpixels) -> Floats:
    """Saliency of each superpixel, in [0, 1], (n,)."""
    colour = colour_distances(superpixels.lab)
    background = background_probability(boundary_connectivity(superpixels, colour))
    contrast = background_weighted_contrast(superpixels, colour, background)
    return optimise(superpixels, colour, BACKGROUND_WEIGHT * background, contrast)
