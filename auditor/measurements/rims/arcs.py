"""Edge points linked into smooth arcs that bend one way only."""

from __future__ import annotations

import math
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray
from scipy.ndimage import gaussian_filter1d

from auditor.measurements.rims.edges import Edges

Floats = NDArray[np.float64]
Indices = NDArray[np.intp]

NEIGHBOURS = ((-1, -1), (-1, 0), (-1, 1), (0, -1), (0, 1), (1, -1), (1, 0), (1, 1))
LINK_COSINE = np.cos(np.radians(35))  # a circle of radius 2 px turns 29 degrees a pixel
LINK_ALONG = 0.55  # cosine: the next point lies ahead to within 57 degrees
SMOOTHING_POINTS = 2.0  # directions of single edge points scatter by some 5 degrees
CORNER_REACH_POINTS = 4
CORNER_RAD = np.radians(60)  # over eight points: sharper than a circle of radius 8 px
REVERSAL_RAD = math.radians(9)  # a bend the other way by more than this is an inflection
MIN_ARC_POINTS = 14  # shorter chains fit any ellipse
MIN_ARC_TURN_RAD = np.radians(4)  # straight lines are no part of a rim
MAX_CHAINS = 120  # the longest: any further ones of a busy picture are short
MAX_SAMPLED = 60  # the longest arcs: all pairs are tried, so the cost grows with the square
N_SAMPLES = 12  # points that represent an arc while pairs are tried


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
        Number of edge points of each of the M arcs.
    """

    members: tuple[Indices, ...]
    samples: Floats
    inward: Floats
    n_points: NDArray[np.intp]


def link_arcs(edges: Edges) -> Arcs:
    """Link edge points into arcs, split at corners and inflections."""
    members = _smooth_parts(edges, _chains(edges))
    members.sort(key=lambda part: -part.size)
    longest = members[:MAX_SAMPLED]
    sizes = np.array([part.size for part in longest], dtype=np.intp)
    places = np.round(np.linspace(0, 1, N_SAMPLES) * (sizes[:, None] - 1)).astype(np.intp)
    places += (np.cumsum(sizes) - sizes)[:, None]
    chosen = np.concatenate([np.zeros(0, dtype=np.intp), *longest])[places]
    samples = edges.points[chosen]
    inward = _inward_normals(samples, edges.normal_rad[chosen])
    return Arcs(tuple(members), samples, inward, sizes)


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
    """Order the points along each chain of mutual links; short chains are dropped."""
    ahead, behind = _mutual_links(edges)
    n = ahead.size
    if not n:
        return []
    last, distance = _ends(ahead, behind)
    last_point, is_open = last // 2, distance < 2 * n
    length = distance[:n] + distance[n:] + 1
    member = np.nonzero(is_open[:n] & is_open[n:] & (length >= MIN_ARC_POINTS))[0]
    one, other = last_point[:n][member], last_point[n:][member]
    place = np.where(one < other, distance[:n][member], distance[n:][member])
    name = np.minimum(one, other)
    order = np.lexsort((place, name))
    cuts = np.nonzero(np.diff(name[order]))[0] + 1
    chains = np.split(member[order], cuts) if member.size else []
    chains += _rings(np.nonzero(~is_open[:n])[0], ahead, behind)
    chains.sort(key=lambda chain: -chain.size)
    return chains[:MAX_CHAINS]


def _ends(ahead: Indices, behind: Indices) -> tuple[Indices, Indices]:
    """End of each point's chain in both directions, and its distance in links.

    A state is a point and a direction: `point` follows the link ahead, `point + n` the one behind;
    the result encodes it as 2 * point + direction. Pointers are doubled until all have reached an
    end; on a ring they never do, and the distance is 2 n or more.
    """
    n = ahead.size
    own = np.arange(n)
    following = np.concatenate([ahead, behind])
    to = np.maximum(following, 0)
    onward = np.where(behind[to] == np.concatenate([own, own]), to, to + n)
    state = np.arange(2 * n)
    following = np.where(following >= 0, onward, state)
    distance = (following != state).astype(np.intp)
    for _ in range(max(1, int(2 * n).bit_length())):
        distance = distance + distance[following]
        following = following[following]
    return np.where(following < n, 2 * following, 2 * (following - n) + 1), distance


def _rings(points: Indices, ahead: Indices, behind: Indices) -> list[Indices]:
    """Walk around the closed chains."""
    seen: set[int] = set()
    rings = []
    for start in points.tolist():
        if start in seen:
            continue
        path, previous, here = [start], start, int(ahead[start])
        while here != start and here >= 0:
            path.append(here)
            onward = ahead[here] if behind[here] == previous else behind[here]
            previous, here = here, int(onward)
        seen.update(path)
        if len(path) >= MIN_ARC_POINTS:
            rings.append(np.array(path, dtype=np.intp))
    return rings


def _mutual_links(edges: Edges) -> tuple[Indices, Indices]:
    """The neighbour of each point on either side along the edge; -1 if there is none."""
    n = edges.points.shape[0]
    width = edges.shape[1] + 2
    index = np.full((edges.shape[0] + 2) * width, -1, dtype=np.intp)
    place = (edges.rows + 1) * width + edges.columns + 1
    index[place] = np.arange(n)
    x, y, cosine, sine = (
        values.astype(np.float32)
        for values in (edges.points[:, 0], edges.points[:, 1], edges.cosine, edges.sine)
    )
    best = np.zeros((2, n), dtype=np.float32)
    link = np.full((2, n), -1, dtype=np.intp)
    for row, column in NEIGHBOURS:
        neighbour = index[place + (row * width + column)]
        here = np.nonzero(neighbour >= 0)[0]
        other = neighbour[here]
        dx, dy = x[other] - x[here], y[other] - y[here]
        length = np.maximum(np.sqrt(dx * dx + dy * dy), np.float32(0.1))
        along = (dy * cosine[here] - dx * sine[here]) / length
        alike = np.abs(cosine[other] * cosine[here] + sine[other] * sine[here])
        score = np.where(
            (alike > LINK_COSINE) & (np.abs(along) > LINK_ALONG), np.abs(along) * alike / length, 0
        )
        for side, there in enumerate((along > 0, along < 0)):
            better = there & (score > best[side][here])
            best[side][here[better]] = score[better]
            link[side][here[better]] = other[better]
    own = np.arange(n)
    mutual = [(link[0][side] == own) | (link[1][side] == own) for side in link]
    return np.where(mutual[0], link[0], -1), np.where(mutual[1], link[1], -1)


def _smooth_parts(edges: Edges, chains: list[Indices]) -> list[Indices]:
    """Cut chains at corners and inflections."""
    if not chains:
        return []
    direction, starts = _directions(edges, chains)
    corners = _corners(direction)
    wavy = _wavy(direction, starts)
    parts = []
    for chain, start, may_turn_back in zip(chains, starts.tolist(), wavy.tolist(), strict=True):
        own = direction[start : start + chain.size]
        first, last = np.searchsorted(corners, [start, start + own.size])
        sharp = (corners[first:last] - start).tolist()
        turning = _inflections(own) if may_turn_back else []
        cuts = sorted({0, chain.size, *sharp, *turning})
        for begin, end in pairwise(cuts):
            if end - begin >= MIN_ARC_POINTS:
                turn = abs(own[end - 1] - own[begin])
                if turn >= MIN_ARC_TURN_RAD:
                    parts.append(chain[begin:end])
    return parts


def _directions(edges: Edges, chains: list[Indices]) -> tuple[Floats, Indices]:
    """Smoothed direction along all chains, concatenated, and the index at which each begins."""
    reach = int(4 * SMOOTHING_POINTS)
    sizes = np.array([chain.size for chain in chains])
    starts = np.cumsum(sizes + 2 * reach) - sizes - reach
    padded = np.concatenate(
        [
            part
            for chain in chains
            for part in (chain[:1].repeat(reach), chain, chain[-1:].repeat(reach))
        ]
    )
    direction = np.unwrap(2 * edges.normal_rad[padded]) / 2
    return gaussian_filter1d(direction, SMOOTHING_POINTS, truncate=4.0, mode="nearest"), starts


def _corners(direction: Floats) -> Indices:
    """Indices at which the direction turns more sharply than along a rim."""
    reach = CORNER_REACH_POINTS
    turn = np.abs(direction[2 * reach :] - direction[: -2 * reach])
    sharp = (turn[1:-1] > CORNER_RAD) & (turn[1:-1] >= turn[:-2]) & (turn[1:-1] > turn[2:])
    return np.nonzero(sharp)[0] + reach + 1


def _wavy(direction: Floats, starts: Indices) -> NDArray[np.bool_]:
    """Mask of the chains that turn by more than `REVERSAL_RAD` in both senses."""
    chain = np.cumsum(np.isin(np.arange(direction.size), starts[1:]))
    apart = np.ptp(direction) + 1  # so that each chain begins anew
    falls = np.maximum.accumulate(direction + apart * chain) - (direction + apart * chain)
    rises = direction - apart * chain - np.minimum.accumulate(direction - apart * chain)
    first = np.concatenate([[0], starts[1:]])
    both = np.minimum(np.maximum.reduceat(falls, first), np.maximum.reduceat(rises, first))
    return np.asarray(both > REVERSAL_RAD)


def _inflections(direction: Floats) -> list[int]:
    """Indices at which the direction turns back by more than `REVERSAL_RAD`."""
    turning: list[int] = []
    low = high = trend = 0
    values = direction.tolist()
    lowest = highest = values[0]
    for index, value in enumerate(values):
        if value < lowest:
            low, lowest = index, value
        if value > highest:
            high, highest = index, value
        if trend >= 0 and highest - value > REVERSAL_RAD:
            if trend > 0:
                turning.append(high)
            trend, low, lowest = -1, index, value
        elif trend <= 0 and value - lowest > REVERSAL_RAD:
            if trend < 0:
                turning.append(low)
            trend, high, highest = 1, index, value
    return turning
