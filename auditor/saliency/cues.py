"""What tells things from ground: one number a superpixel and cue, before any weighing.

Each cue is brought to a range of a few units so that weights can be compared. None knows what a
dish is; what the cues are worth was learnt (see `weights`).
"""

from __future__ import annotations

from typing import cast

import numpy as np

from auditor.saliency.boundary_connectivity import (
    BACKGROUND_WEIGHT,
    background_probability,
    background_weighted_contrast,
    boundary_connectivity,
    optimise,
)
from auditor.saliency.superpixels import (
    Floats,
    Superpixels,
    barriers,
    colour_distances,
    geodesic_distances,
)

NARROW_COLOUR_SIGMA = 8.0  # CIELAB units: the same paint under nearly the same light
WIDE_COLOUR_SIGMA = 20.0  # CIELAB units: the same paint in light and in shade
FAMILY_SIGMA = 0.2  # fraction of the longer side: what surrounds a thing on the table
WAY_UNIT = 20.0  # CIELAB units along a way to the border that count as one
FOREIGN_BORDER_COST = 20.0  # CIELAB units added to ways that start at a border unlike ground
RANKING_ALPHA = 0.99  # share kept from neighbours in manifold ranking; Yang and others 2013
RANKING_SIGMA = 8.0  # CIELAB units; their 0.1 of the range of colours
SHADOW_LIGHTNESS_WEIGHT = 0.3  # lightness counts this much where a shadow should not
QUIET_DETAIL = 0.5  # CIELAB units of detail that a smooth surface has from noise alone

CUE_NAMES = (
    "saliency", "foreground", "contrast", "connectivity", "way_to_border", "ranking",
    "unlike_border_narrow", "unlike_border_wide", "unlike_border_hue", "sides_unlike",
    "local_contrast", "rarity", "detail", "detail_over_border", "chroma", "lightness_over_border",
    "distance_from_centre", "off_border", "edge_way", "edge_barrier", "colour_barrier",
    "ground_edges",
)


def measure_cues(superpixels: Superpixels) -> Floats:
    """All cues of each superpixel, (n, `len(CUE_NAMES)`)."""
    colour = colour_distances(superpixels.lab)
    hue = colour_distances(superpixels.lab * np.array([SHADOW_LIGHTNESS_WEIGHT, 1.0, 1.0]))
    connectivity = boundary_connectivity(superpixels, colour)
    background = background_probability(connectivity)
    contrast = background_weighted_contrast(superpixels, colour, background)
    saliency = optimise(superpixels, colour, BACKGROUND_WEIGHT * background, contrast)
    border = superpixels.border
    along = border.sum(axis=1)
    sides = np.sort(np.stack([_unlike(colour, border[:, k], WIDE_COLOUR_SIGMA) for k in range(4)]), axis=0)
    detail = np.log(superpixels.detail + QUIET_DETAIL)
    ground = background * superpixels.area
    ground_lightness = (ground @ superpixels.lab[:, 0]) / max(float(ground.sum()), 1e-9)
    gap = superpixels.position[:, np.newaxis] - superpixels.position[np.newaxis]
    distance = np.sqrt((gap**2).sum(axis=2))
    height, width = superpixels.labels.shape
    middle = np.array([width, height]) / max(height, width) / 2
    from_centre = np.linalg.norm((superpixels.position - middle) / middle, axis=1)
    return np.stack(
        [
            saliency,
            1 - background,
            contrast,
            np.log(connectivity + 0.05),
            _way_to_border(superpixels, colour, background) / WAY_UNIT,
            _ranking(superpixels, colour),
            _unlike(colour, along, NARROW_COLOUR_SIGMA),
            _unlike(colour, along, WIDE_COLOUR_SIGMA),
            _unlike(hue, along, NARROW_COLOUR_SIGMA),
            sides[1],
            _local_contrast(superpixels, colour, distance) / WAY_UNIT,
            -np.log(np.exp(-((colour / WIDE_COLOUR_SIGMA) ** 2) / 2) @ superpixels.area),
            detail,
            detail - (along @ detail) / max(float(along.sum()), 1e-9),
            np.hypot(superpixels.lab[:, 1], superpixels.lab[:, 2]) / WAY_UNIT,
            np.abs(superpixels.lab[:, 0] - ground_lightness) / WAY_UNIT,
            from_centre,
            (along == 0).astype(np.float64),
            *_enclosure(superpixels, colour, background),
        ],
        axis=1,
    )


def _unlike(distances: Floats, length: Floats, sigma: float) -> Floats:
    """How rare a superpixel's colour is on a part of the border: 0 common, about 4 absent."""
    share = np.exp(-((distances / sigma) ** 2) / 2) @ length / max(float(length.sum()), 1e-9)
    return cast("Floats", -np.log(share + 0.02))


def _way_to_border(superpixels: Superpixels, colour: Floats, background: Floats) -> Floats:
    """CIELAB units crossed on the cheapest way to a border that looks like ground."""
    n = superpixels.n
    on_border = np.flatnonzero(superpixels.border.sum(axis=1) > 0)
    outside = np.stack([on_border, np.full(on_border.size, n)], axis=1)
    first, second = superpixels.neighbours.T
    pairs = np.concatenate([superpixels.neighbours, outside])
    entry = FOREIGN_BORDER_COST * (1 - background[on_border])
    costs = np.concatenate([colour[first, second], entry])
    return geodesic_distances(n + 1, pairs, costs, start=n)[:n]


def _enclosure(superpixels: Superpixels, colour: Floats, background: Floats) -> tuple[Floats, ...]:
    n = superpixels.n
    on_border = np.flatnonzero(superpixels.border.sum(axis=1) > 0)
    first, second = superpixels.neighbours.T
    pairs = np.concatenate(
        [superpixels.neighbours, np.stack([on_border, np.full(on_border.size, n)], axis=1)]
    )
    foreign = 1 - background[on_border]
    ground_edge = float(np.average(superpixels.edge, weights=background[first] * background[second] + 1e-6))
    edges = np.maximum(superpixels.edge - ground_edge, 0.0)
    way = geodesic_distances(n + 1, pairs, np.concatenate([edges, 5.0 * foreign]), start=n)[:n]
    edge_barrier = barriers(n + 1, pairs, np.concatenate([superpixels.edge, 5.0 * foreign]), n)[:n]
    colour_barrier = barriers(
        n + 1, pairs, np.concatenate([colour[first, second], 20.0 * foreign]), n
    )[:n]
    return (
        np.log(way + 1.0),
        np.log(edge_barrier + 0.3),
        np.log(colour_barrier + 1.0),
        np.full(n, np.log(ground_edge + 0.3)),
    )


def _ranking(superpixels: Superpixels, colour: Floats) -> Floats:
    """Product over the four sides of the unlikeness to that side by manifold ranking, in [0, 1].

    Yang, Zhang, Lu, Ruan, Yang: Saliency Detection via Graph-Based Manifold Ranking, CVPR 2013.
    """
    n = superpixels.n
    joined = np.zeros((n, n), dtype=bool)
    first, second = superpixels.neighbours.T
    joined[first, second] = joined[second, first] = True
    joined |= (joined.astype(np.float32) @ joined.astype(np.float32)) > 0
    on_border = superpixels.border.sum(axis=1) > 0
    joined |= on_border[:, np.newaxis] & on_border[np.newaxis]
    np.fill_diagonal(joined, False)
    weights = np.where(joined, np.exp(-colour / RANKING_SIGMA), 0.0)
    system = np.diag(weights.sum(axis=1)) - RANKING_ALPHA * weights
    ranks = np.linalg.solve(system + 1e-9 * np.eye(n), (superpixels.border > 0).astype(np.float64))
    low, high = ranks.min(axis=0), ranks.max(axis=0)
    unlike = 1 - (ranks - low) / np.maximum(high - low, 1e-12)
    return cast("Floats", unlike.prod(axis=1))


def _local_contrast(superpixels: Superpixels, colour: Floats, distance: Floats) -> Floats:
    near = np.exp(-((distance / FAMILY_SIGMA) ** 2) / 2) * superpixels.area[np.newaxis]
    return cast("Floats", (colour * near).sum(axis=1) / near.sum(axis=1))
