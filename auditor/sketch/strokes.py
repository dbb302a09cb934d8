"""Ink traced into strokes: the lines of the skeleton, carried on straight through junctions.

Positions are x and y of the canvas in px.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy import ndimage
from skimage.morphology import skeletonize

from auditor.sketch.canvas import Mask

Floats = NDArray[np.float64]

EIGHT = np.ones((3, 3), dtype=np.bool_)
STAIR_PX = 5  # steps of pixels over which a line's length is measured
LOOK_BACK_PX = 9  # of a stroke's end, from which its direction is read
# Two strokes that meet are one if they carry on within this angle.
CARRY_ON_DEG = 45.0
SPUR_PX = 6  # shorter side branches come from the width of the pen
JUNCTION_PX = 2  # branches of one crossing meet within about the pen's half width


@dataclass(frozen=True, slots=True, eq=False)
class Stroke:
    """A line drawn in one go, as far as the ink shows.

    Attributes
    ----------
    points : (N, 2) float array
        In order; N >= 2.
    free : (bool, bool)
        Whether its first and its last end meet no other stroke.
    """

    points: Floats
    free: tuple[bool, bool] = (True, True)

    @property
    def length(self) -> float:
        """In px, without the stairs of the pixels."""
        some = np.concatenate([self.points[:-1:STAIR_PX], self.points[-1:]])
        return float(np.linalg.norm(np.diff(some, axis=0), axis=1).sum())

    @property
    def chord(self) -> float:
        """Distance of its ends, in px."""
        return float(np.linalg.norm(self.points[-1] - self.points[0]))

    def end(self, last: bool) -> tuple[Floats, Floats]:
        """One of its ends: the position, and the unit vector that leads on from it."""
        points = self.points[::-1] if last else self.points
        back = points[min(LOOK_BACK_PX, len(points) - 1)]
        away = points[0] - back
        return points[0], away / max(float(np.linalg.norm(away)), 1e-9)


def trace_strokes(ink: Mask) -> list[Stroke]:
    """Strokes of the ink, none of whose skeleton is left out but spurs."""
    skeleton = skeletonize(ink)
    branches, junctions = _branches(skeleton)
    branches = _without_spurs(branches, junctions)
    return _joined(branches, junctions)


def _branches(skeleton: Mask) -> tuple[list[Floats], NDArray[np.intp]]:
    """Unbranched pieces of a skeleton as ordered points, and the labelled junctions."""
    junction = skeleton & (_n_near(skeleton) > 2)
    reach = ndimage.binary_dilation(junction, EIGHT, iterations=JUNCTION_PX)
    junctions, _ = ndimage.label(reach, EIGHT)
    unbranched = skeleton & ~reach
    pieces, n_pieces = ndimage.label(unbranched, EIGHT)
    n_near = _n_near(unbranched)
    rows, columns = np.nonzero(pieces)
    order = np.argsort(pieces[rows, columns], kind="stable")
    counts = np.bincount(pieces[rows, columns], minlength=n_pieces + 1)[1:]
    split = np.split(
        np.stack([rows, columns, n_near[rows, columns]], axis=1)[order], np.cumsum(counts)[:-1]
    )
    branches = [_ordered(piece) for piece in split if len(piece)]
    return branches, junctions


def _n_near(mask: Mask) -> NDArray[np.uint8]:
    """Number of neighbours of each pixel, of eight."""
    padded = np.pad(mask, 1).astype(np.uint8)
    rows = padded[:-2] + padded[1:-1] + padded[2:]
    return np.asarray(rows[:, :-2] + rows[:, 1:-1] + rows[:, 2:] - mask)


def _ordered(pixels: NDArray[np.intp]) -> Floats:
    """Pixels (row, column, neighbours) of an unbranched line in the order in which it runs."""
    left = {(r, c) for r, c, _ in pixels.tolist()}
    start = tuple(pixels[pixels[:, 2].argmin(), :2].tolist())
    chain = [start]
    left.discard(start)
    while True:
        step = _next(chain[-1], left)
        if step is None:
            break
        chain.append(step)
        left.discard(step)
    if len(chain) == 1:
        chain = chain * 2
    return np.array([(c + 0.5, r + 0.5) for r, c in chain])


# Straight steps before slanted ones, so that no pixel of a stair is jumped over.
_STEPS = ((0, 1), (1, 0), (0, -1), (-1, 0), (1, 1), (1, -1), (-1, 1), (-1, -1))


def _next(at: tuple[int, int], left: set[tuple[int, int]]) -> tuple[int, int] | None:
    for dr, dc in _STEPS:
        step = (at[0] + dr, at[1] + dc)
        if step in left:
            return step
    return None


def _junction_at(point: Floats, junctions: NDArray[np.intp]) -> int:
    """Label of the junction beside the end of a branch; 0 at a free end."""
    row, column = int(point[1]), int(point[0])
    near = junctions[max(0, row - 1) : row + 2, max(0, column - 1) : column + 2]
    return int(near.max())


def _without_spurs(branches: list[Floats], junctions: NDArray[np.intp]) -> list[Floats]:
    def is_spur(points: Floats) -> bool:
        ends = [_junction_at(points[i], junctions) for i in (0, -1)]
        return len(points) < SPUR_PX and sum(end > 0 for end in ends) == 1

    return [points for points in branches if not is_spur(points)]


def _joined(branches: list[Floats], junctions: NDArray[np.intp]) -> list[Stroke]:
    """Carry branches on through their junctions."""
    ends: dict[int, list[tuple[int, bool]]] = {}
    for index, points in enumerate(branches):
        for last in (False, True):
            label = _junction_at(points[-1 if last else 0], junctions)
            if label:
                ends.setdefault(label, []).append((index, last))
    partner: dict[tuple[int, bool], tuple[int, bool]] = {}
    strokes = [Stroke(points) for points in branches]
    met: set[tuple[int, bool]] = set()
    for meeting in ends.values():
        for a, b in straightest_pairs([strokes[i].end(last) for i, last in meeting]):
            partner[meeting[a]], partner[meeting[b]] = meeting[b], meeting[a]
        if len(meeting) > 1:
            met.update(meeting)
    joined = []
    for chain in _chains(len(branches), partner):
        pieces = [branches[i][::-1] if from_last else branches[i] for i, from_last in chain]
        start, stop = chain[0], (chain[-1][0], not chain[-1][1])
        joined.append(Stroke(np.concatenate(pieces), (start not in met, stop not in met)))
    return joined


def straightest_pairs(ends: list[tuple[Floats, Floats]]) -> list[tuple[int, int]]:
    """Pairs of the ends at a junction that carry each other on, straightest first."""
    turns = []
    for i, (_, a) in enumerate(ends):
        for j in range(i + 1, len(ends)):
            turn = math.degrees(math.acos(float(np.clip(-(a @ ends[j][1]), -1, 1))))
            turns.append((turn, i, j))
    taken: set[int] = set()
    pairs = []
    for turn, i, j in sorted(turns):
        if turn > CARRY_ON_DEG and len(ends) != 2:
            break
        if i not in taken and j not in taken:
            pairs.append((i, j))
            taken |= {i, j}
    return pairs


def _chains(
    n_branches: int, partner: dict[tuple[int, bool], tuple[int, bool]]
) -> list[list[tuple[int, bool]]]:
    """Branches one after the other, each with whether it runs from its last point."""
    used: set[int] = set()
    free = [(i, last) for i in range(n_branches) for last in (False, True)
            if (i, last) not in partner]  # fmt: skip
    rings = [(i, False) for i in range(n_branches)]
    chains = []
    for start in free + rings:
        if start[0] in used:
            continue
        chain: list[tuple[int, bool]] = []
        at: tuple[int, bool] | None = start
        while at is not None and at[0] not in used:
            used.add(at[0])
            chain.append(at)
            at = partner.get((at[0], not at[1]))
        chains.append(chain)
    return chains
