"""What a word or an arrow would cover."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from auditor.geometry import Box
from auditor.plan_sheet.drawing import Line, Role, area_of, common_area

STEP = 5.0  # between the points by which lines are counted
# Cost of a line through a box, for each length of line as long as the box's longer side. The
# outline of a thing that a word hides would be missed most.
LINE_COST = {
    Role.FRAME: 2.0,
    Role.GRID: 0.7,
    Role.EMPTY: 1.5,
    Role.DIAGONAL: 0.6,
    Role.SUPPORTING: 2.5,
    Role.SUBJECT: 2.5,
    Role.LIGHT: 4.0,
}
AREA_COST = 1.0  # of a box that lies in another thing altogether


@dataclass(slots=True)
class PlacesTaken:
    """Lines and areas of a drawing, by what it costs to cover them."""

    points: NDArray[np.float64] = field(default_factory=lambda: np.empty((0, 2)))
    weights: NDArray[np.float64] = field(default_factory=lambda: np.empty(0))
    areas: list[Box] = field(default_factory=list)

    def add(self, lines: Iterable[Line], areas: Sequence[Box] = ()) -> None:
        """Take the places of lines and of things."""
        for line in lines:
            points = _along(np.array(line.course, dtype=np.float64))
            self.points = np.vstack([self.points, points])
            weights = np.full(len(points), LINE_COST[line.role])
            self.weights = np.concatenate([self.weights, weights])
        self.areas += areas

    def cost(self, box: Box, own: Box | None = None) -> float:
        """What it costs to cover a box; the area `own` is free."""
        x, y = self.points.T
        inside = (x >= box.left) & (x <= box.right) & (y >= box.top) & (y <= box.bottom)
        longer = max(box.right - box.left, box.bottom - box.top)
        lines = float(self.weights[inside].sum()) * STEP / longer
        covered = sum(common_area(box, area) for area in self.areas if area != own)
        return lines + AREA_COST * covered / area_of(box)


def _along(course: NDArray[np.float64]) -> NDArray[np.float64]:
    """(N, 2) points along a line of (M, 2) points, `STEP` apart."""
    steps = np.hypot(*np.diff(course, axis=0).T)
    distance = np.concatenate([[0.0], np.cumsum(steps)])
    at = np.arange(0.0, distance[-1] + STEP, STEP)
    return np.stack([np.interp(at, distance, course[:, k]) for k in (0, 1)], axis=1)
