"""Edge points linked into smooth arcs that bend one way only."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray
from scipy.ndimage import gaussian_filter1d

from auditor.measurements.rims.edges import Edges

Floats = NDArray[np.float64]
Indices = NDArray[np.intp]

NEIGHBOURS = ((-1, -1), (-1, 0), (-1, 1), (0, -1), (0, 1), (1, -1), (1, 0), (1, 1))
LINK_TURN_RAD = np.radians(35)  # a circle of radius 2 px turns 29 degrees a pixel
LINK_ALONG = 0.55  # cosine: the next point lies ahead, not beside, by less than 57 degrees
SMOOTHING_POINTS = 2.0  # directions of single edge points scatter by some 5 degrees
CORNER_REACH_POINTS = 4
CORNER_RAD = np.radians(60)  # over eight points: sharper than a circle of radius 8 px
REVERSAL_RAD = np.radians(9)  # a bend the other way by more than this is an inflection
MIN_ARC_POINTS = 14  # shorter chains fit any ellipse
MIN_ARC_TURN_RAD = np.radians(4)  # straight lines are no part of a rim
MAX_SAMPLED = 90  # the longest arcs: their pairs are tried, so the cost grows with the square
N_SAMPLES = 16  # points that stand for an arc while pairs are tried


@dataclass(frozen=True, slots=True)
class Arcs:
    """Smooth arcs, longest first.

    Attributes
    ----------
    members : tuple of (N,) int arrays
        Indices into the edge points, in order along each arc.
    samples : (M, N_SAMPLES, 2) float array
        Points at equal steps along each of the longest arcs, in pixels.
    inward : (M, N_SAMPLES, 2) float array
        Unit normals at the samples, on the side to which the arc bends.
    n_points : (M,) int array
        Number of edge points of each of these.
    """

    members: tuple[Indices, ...]
    samples: Floats
    inward: Floats
    n_points: NDArray[np.intp]


def link_arcs(edges: Edges) -> Arcs:
    """Link edge points into arcs, split at corners and inflections."""
    members: list[Indices] = []
    for chain in _chains(edges):
        if chain.size >= MIN_ARC_POINTS:
            members.extend(_smooth_parts(edges, chain))
    members.sort(key=lambda part: -part.size)
    longest = members[:MAX_SAMPLED]
    at = [np.linspace(0, part.size - 1, N_SAMPLES).round().astype(np.intp) for part in longest]
    chosen = np.array([part[i] for part, i in zip(longest, at, strict=True)], dtype=np.intp)
    chosen = chosen.reshape(-1, N_SAMPLES)
    samples = edges.points[chosen]
    inward = _inward_normals(samples, edges.normal_rad[chosen])
    return Arcs(tuple(members), samples, inward, np.array([m.size for m in longest], dtype=np.intp))


def _inward_normals(samples: Floats, normal_rad: Floats) -> Floats:
    """Unit normals of each arc, all on the side to which it bends."""
    normals = np.stack([np.cos(normal_rad), np.sin(normal_rad)], axis=-1)
    half = N_SAMPLES // 2
    middle = samples[:, half - 1 : half + 1].mean(axis=1)
    sagitta = (samples[:, 0] + samples[:, -1]) / 2 - middle
    along = np.gradient(samples, axis=1)
    left = np.stack([-along[..., 1], along[..., 0]], axis=-1)
    side = np.where((left[:, half] * sagitta).sum(axis=-1) < 0, -1.0, 1.0)
    flip = np.where((normals * left).sum(axis=-1) * side[:, None] < 0, -1.0, 1.0)
    return np.asarray(normals * flip[..., None])


def _chains(edges: Edges) -> list[Indices]:
    """Follow mutual links from point to point."""
    forward, backward = _mutual_links(edges)
    ahead, behind = forward.tolist(), backward.tolist()
    seen = [False] * len(ahead)
    chains = []
    for start in range(len(ahead)):
        if seen[start]:
            continue
        seen[start] = True
        one_way = _walk(start, ahead[start], ahead, behind, seen)
        other_way = _walk(start, behind[start], ahead, behind, seen)
        chains.append(np.array([*other_way[::-1], start, *one_way], dtype=np.intp))
    return chains


def _walk(
    start: int, following: int, ahead: list[int], behind: list[int], seen: list[bool]
) -> list[int]:
    """Points from the one after `start` to the end of its chain."""
    previous, here, path = start, following, []
    while here >= 0 and not seen[here]:
        seen[here] = True
        path.append(here)
        onward = ahead[here] if behind[here] == previous else behind[here]
        previous, here = here, onward
    return path


def _mutual_links(edges: Edges) -> tuple[Indices, Indices]:
    """The neighbour of each point on either side along the edge; -1 where there is none."""
    n = edges.points.shape[0]
    index = np.full((edges.shape[0] + 2, edges.shape[1] + 2), -1, dtype=np.intp)
    index[edges.rows + 1, edges.columns + 1] = np.arange(n)
    tangent = np.stack([-np.sin(edges.normal_rad), np.cos(edges.normal_rad)], axis=-1)
    best = np.zeros((2, n))
    link = np.full((2, n), -1, dtype=np.intp)
    for row, column in NEIGHBOURS:
        other = index[edges.rows + 1 + row, edges.columns + 1 + column]
        step = edges.points[other] - edges.points
        length = np.maximum(np.hypot(step[:, 0], step[:, 1]), 0.1)
        along = (step * tangent).sum(-1) / length
        turn = np.abs(edges.normal_rad[other] - edges.normal_rad)
        turn = np.minimum(turn, np.pi - turn)
        possible = (other >= 0) & (turn < LINK_TURN_RAD) & (np.abs(along) > LINK_ALONG)
        score = np.where(possible, np.abs(along) * np.cos(turn) / length, 0)
        for side, here in enumerate((along > 0, along < 0)):
            better = here & (score > best[side])
            best[side][better] = score[better]
            link[side][better] = other[better]
    own = np.arange(n)
    mutual = [(link[0][side] == own) | (link[1][side] == own) for side in link]
    return np.where(mutual[0], link[0], -1), np.where(mutual[1], link[1], -1)


def _smooth_parts(edges: Edges, chain: Indices) -> list[Indices]:
    """Cut a chain at corners and inflections."""
    direction = np.unwrap(2 * edges.normal_rad[chain]) / 2
    direction = gaussian_filter1d(direction, SMOOTHING_POINTS, mode="nearest")
    cuts = sorted({0, chain.size, *_corners(direction), *_inflections(direction)})
    parts = []
    for start, stop in pairwise(cuts):
        if stop - start >= MIN_ARC_POINTS:
            turn = abs(direction[stop - 1] - direction[start])
            if turn >= MIN_ARC_TURN_RAD:
                parts.append(chain[start:stop])
    return parts


def _corners(direction: Floats) -> list[int]:
    """Places where the direction turns more sharply than along a rim."""
    reach = CORNER_REACH_POINTS
    turn = np.abs(direction[2 * reach :] - direction[: -2 * reach])
    peaks = np.nonzero(
        (turn[1:-1] > CORNER_RAD) & (turn[1:-1] >= turn[:-2]) & (turn[1:-1] > turn[2:])
    )[0]
    return [int(p) + reach + 1 for p in peaks]


def _inflections(direction: Floats) -> list[int]:
    """Places where the direction turns back by more than `REVERSAL_RAD`."""
    turning: list[int] = []
    low = high = 0
    trend = 0
    values = direction.tolist()
    for index, value in enumerate(values):
        if value < values[low]:
            low = index
        if value > values[high]:
            high = index
        if trend >= 0 and values[high] - value > REVERSAL_RAD:
            if trend > 0:
                turning.append(high)
            trend, low = -1, index
        elif trend <= 0 and value - values[low] > REVERSAL_RAD:
            if trend < 0:
                turning.append(low)
            trend, high = 1, index
    return turning
