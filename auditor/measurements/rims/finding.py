"""From pixels to rims."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from auditor.geometry import Ellipse, Point, diagonal_px, fold_angle_deg
from auditor.measurements.rims.arcs import link_arcs
from auditor.measurements.rims.candidates import find_candidates, separation
from auditor.measurements.rims.edges import (
    Channels,
    find_edges,
    opponent_channels,
    reduced,
    smoothed,
)
from auditor.measurements.rims.refinement import Refined, refine
from auditor.measurements.rims.selection import select

DETECTION_SIDES_PX = (512, 256)  # enough to see a rim; the coarse one for rims out of focus

CERTAIN_SUPPORT = 0.7  # an ellipse on this much edge need not be found twice
SAME_EDGE_OVERLAP = 0.1  # outlines nearer than this share of the minor axis lead to one edge


@dataclass(frozen=True, slots=True)
class Rim:
    """One fitted rim.

    Attributes
    ----------
    ellipse : Ellipse
    support : float
        Share of the circumference inside the frame that lies on an edge, in [0, 1].
    axis_ratio_error : float
        Standard error of minor over major axis, from the residuals of the fit.
    """

    ellipse: Ellipse
    support: float
    axis_ratio_error: float


def find_rims(pixels: NDArray[np.uint8]) -> tuple[Rim, ...]:
    """Find the rims of round things in (H, W, 3) uint8 sRGB pixels, best first."""
    height, width = pixels.shape[:2]
    found = _refined(opponent_channels(pixels))
    return tuple(_rim(rim, width, height) for rim in select(found, diagonal_px(width, height)))


def _refined(channels: Channels) -> list[Refined]:
    """Candidates of all detection sizes, each on its edge."""
    smooth = smoothed(channels)
    long_side = max(channels.shape[1:])
    found: list[Refined] = []
    for factor in sorted({max(1, round(long_side / side)) for side in DETECTION_SIDES_PX}):
        edges = find_edges(reduced(channels, factor))
        for ellipse in find_candidates(edges, link_arcs(edges)):
            enlarged = np.append(ellipse[:4] * factor, ellipse[4])
            if not _is_known(enlarged, found):
                refined = refine(enlarged, smooth)
                found.extend([] if refined is None else [refined])
    return found


def _is_known(ellipse: NDArray[np.float64], found: list[Refined]) -> bool:
    """Whether the ellipse would come to rest on an edge that has been fitted already."""
    certain = [f.ellipse for f in found if f.support > CERTAIN_SUPPORT]
    return bool(certain) and bool(separation(ellipse, np.array(certain)).min() < SAME_EDGE_OVERLAP)


def _rim(found: Refined, width: int, height: int) -> Rim:
    """In the frame of reference of the record."""
    cx, cy, a, b, theta = found.ellipse
    diagonal = diagonal_px(width, height)
    return Rim(
        Ellipse(
            Point(float(cx / width), float(cy / height)),
            (float(a / diagonal), float(b / diagonal)),
            fold_angle_deg(-float(np.degrees(theta))),
        ),
        found.support,
        found.axis_ratio_error,
    )
