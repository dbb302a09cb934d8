"""From pixels to rims.

Where things are placed is told by the caller. The outline of each is drawn onto the edge, and
where that is no rim for certain, arcs are linked about it, at the coarse size and then at the fine
one. Most of a picture (weave, grain, background) is so never looked at.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from PIL import Image
from scipy.ndimage import find_objects, maximum_filter

from auditor.geometry import Ellipse, Point, diagonal_px, fold_angle_deg
from auditor.measurements.rims.arcs import link_arcs
from auditor.measurements.rims.candidates import best_borne_out, find_candidates, separation
from auditor.measurements.rims.edges import (
    Channels,
    Edges,
    find_edges,
    opponent_channels,
    smoothed,
)
from auditor.measurements.rims.ellipse_fit import distances_px
from auditor.measurements.rims.evidence import Refined
from auditor.measurements.rims.outlines import propose
from auditor.measurements.rims.refinement import refine
from auditor.measurements.rims.selection import select

Floats = NDArray[np.float64]
Labels = NDArray[np.integer]

DETECTION_SIDES_PX = (512, 256)  # enough to see a rim; the coarse one for rims out of focus

MARGIN_FRACTION = 0.03  # of the diagonal: a plate reaches past the food that was taken for all
EXPLAINING_SUPPORT = 0.9  # of its outline; the loaves of four rendered tables reached 0.86
SAME_WIDTH = 0.7  # of the wider one: a rim is about as wide as its dish
LEAST_WIDTH_FRACTION = 0.09  # of the diagonal: a narrower thing has no rim that would be kept
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


def find_rims(pixels: NDArray[np.uint8], things: Labels | None = None) -> tuple[Rim, ...]:
    """Find the rims of round things in (H, W, 3) uint8 sRGB pixels, best first.

    Parameters
    ----------
    pixels : (H, W, 3) uint8 array
    things : (h, w) integer array or None
        The things placed in the frame by number, 0 where there is none, at any resolution. Rims
        are looked for at these first, and elsewhere only where none is found.
    """
    height, width = pixels.shape[:2]
    picture = _Picture(pixels)
    rims = picture.rims(things)
    if not rims and things is not None:
        rims = picture.rims(None)
    return tuple(_rim(rim, width, height) for rim in rims)


class _Picture:
    """A picture, its reduced copies and its smoothed channels."""

    def __init__(self, pixels: NDArray[np.uint8]) -> None:
        self._shape = pixels.shape[:2]
        self._image = Image.fromarray(pixels)
        long_side = max(self._shape)
        self._factors = {max(1, round(long_side / side)) for side in DETECTION_SIDES_PX}
        self._channels: dict[int, Channels] = {}
        self._found_edges: dict[int, Edges] = {}
        self._full: Channels | None = None

    def rims(self, things: Labels | None) -> list[Refined]:
        """Rims by the outlines of things, then by arcs, coarse and fine, for what is left."""
        diagonal = diagonal_px(*self._shape)
        found: list[Refined] = []
        rims: list[Refined] = []
        if things is not None:
            proposed = self._by_outlines(max(self._factors), things)
            found = [rim for rim in proposed if rim.support > EXPLAINING_SUPPORT]
            rims = select(found, diagonal)
        for factor in sorted(self._factors, reverse=True):
            left = None if things is None else _unexplained(things, rims, self._shape)
            if left is not None and not left.any():
                break
            found += self._by_arcs(factor, left, found)
            rims = select(found, diagonal)
        return rims

    def _by_outlines(self, factor: int, things: Labels) -> list[Refined]:
        edges = self._edges(factor)
        proposals = propose(things, edges.shape)
        candidates = best_borne_out(proposals, edges, np.arange(len(edges.points)))
        return self._refined(factor, candidates, [])

    def _by_arcs(
        self, factor: int, things: NDArray[np.bool_] | None, known: list[Refined]
    ) -> list[Refined]:
        edges = self._edges(factor)
        if things is not None:
            edges = edges.within(_neighbourhood(things, edges.shape))
        return self._refined(factor, find_candidates(edges, link_arcs(edges)), known)

    def _edges(self, factor: int) -> Edges:
        if factor not in self._found_edges:
            self._found_edges[factor] = find_edges(self._smoothed(factor))
        return self._found_edges[factor]

    def _smoothed(self, factor: int) -> Channels:
        """Smoothed channels (3, H, W) of the picture reduced by a factor."""
        if factor not in self._channels:
            reduced = self._image.reduce(factor) if factor > 1 else self._image
            self._channels[factor] = smoothed(opponent_channels(np.asarray(reduced)))
        return self._channels[factor]

    def _refined(self, factor: int, candidates: Floats, known: list[Refined]) -> list[Refined]:
        """New candidates of one detection size, each on its edge at the full resolution."""
        enlarged = candidates * (factor, factor, factor, factor, 1)
        new = [ellipse for ellipse in enlarged if not _is_known(ellipse, known)]
        if self._full is None:
            self._full = np.ascontiguousarray(np.moveaxis(self._smoothed(1), 0, -1))
        return refine(np.array(new).reshape(-1, 5), self._full)


def _unexplained(things: Labels, rims: list[Refined], shape: tuple[int, ...]) -> NDArray[np.bool_]:
    """The things large enough to have a rim of which none was found."""
    scale = np.array([shape[1] / things.shape[1], shape[0] / things.shape[0]])
    least = LEAST_WIDTH_FRACTION * diagonal_px(*things.shape)
    certain = [rim.ellipse for rim in rims if rim.support > EXPLAINING_SUPPORT]
    left = np.zeros(int(things.max()) + 1, dtype=np.bool_)
    for number, window in enumerate(find_objects(things.astype(np.intp)), start=1):
        if window is not None and window[1].stop - window[1].start >= least:
            low = np.array([window[1].start, window[0].start]) * scale
            high = np.array([window[1].stop, window[0].stop]) * scale
            left[number] = not any(_explains(ellipse, low, high) for ellipse in certain)
    return left[things]


def _explains(ellipse: Floats, low: Floats, high: Floats) -> bool:
    """Whether a rim is that of the thing in a box, or of what the thing lies on."""
    half = np.hypot(ellipse[2] * np.cos(ellipse[4]), ellipse[3] * np.sin(ellipse[4]))
    middle = (low + high) / 2
    if distances_px(ellipse, middle[None])[0] < 0:
        return True
    start, stop = max(ellipse[0] - half, low[0]), min(ellipse[0] + half, high[0])
    width = high[0] - low[0]
    over = low[1] - ellipse[3] < ellipse[1] < high[1] + ellipse[3]
    return bool(over and stop - start > SAME_WIDTH * width and width > SAME_WIDTH * 2 * half)


def _neighbourhood(things: NDArray[np.bool_], shape: tuple[int, ...]) -> NDArray[np.bool_]:
    """Things with a margin, at another resolution."""
    margin = round(MARGIN_FRACTION * float(np.hypot(*things.shape)))
    wide = maximum_filter(things.astype(np.uint8), 2 * margin + 1)
    size = (shape[1], shape[0])
    return np.asarray(Image.fromarray(wide).resize(size, Image.Resampling.NEAREST)) > 0


def _is_known(ellipse: Floats, found: list[Refined]) -> bool:
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
