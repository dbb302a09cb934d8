"""Find the rims in a picture.

The caller gives the placed things. The outline of each is refined to the nearest edge. Where that
is no certain rim, arcs are linked around the thing. The rest of the picture (weave, grain,
background) is searched only if no thing has a rim.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import cached_property

import numpy as np
from numpy.typing import NDArray
from PIL import Image
from scipy.ndimage import find_objects, maximum_filter

from auditor.geometry import Ellipse, Point, diagonal_px, fold_angle_deg, mirror_is_canonical
from auditor.measurements.rims.arcs import link_arcs
from auditor.measurements.rims.candidates import best_supported, find_candidates
from auditor.measurements.rims.channels import Smoothed, opponent, reduced, smoothed
from auditor.measurements.rims.edges import Edges, find_edges
from auditor.measurements.rims.ellipse_fit import distances_px, separations
from auditor.measurements.rims.evidence import Refined
from auditor.measurements.rims.outlines import propose_rims
from auditor.measurements.rims.refinement import refine
from auditor.measurements.rims.selection import LARGE_FRACTION, select

Floats = NDArray[np.float64]
Labels = NDArray[np.integer]

# Edges are detected at this size. Adding 480 px found 7 more rims on 547 pictures and took half as
# long again; 256 px alone classified 91 % of 93 top and side views correctly instead of 97 %.
DETECTION_SIDE_PX = 320
REFINEMENT_SIDE_PX = 640  # longest side for which the thresholds in pixels were chosen

MARGIN_FRACTION = 0.03  # of the diagonal: a plate extends beyond food mistaken for the whole dish
EXPLAINING_SUPPORT = 0.9  # of its outline; the loaves of four rendered tables reached 0.86
PROMISING_SUPPORT = 0.6  # of a proposal at the detection size; none with less reached that
SAME_WIDTH = 0.7  # of the wider one: a rim is about as wide as its dish
MIN_WIDTH_FRACTION = 0.09  # of the diagonal: a narrower thing has no rim that would be kept
MINOR_WIDTH = 0.5  # of the widest rim: a narrower thing adds little to the camera elevation
MAX_SEARCHED_EDGES = 0.7  # of all: if more were searched in vain, the rest is not worth the time
CERTAIN_SUPPORT = 0.7  # an ellipse with this much edge need not be found twice
# Of 44 photographs of dishes by many hands without a rim of enough support, in which a viewer could
# tell the camera's angle, 9 have a large one with this share of it; the elevation was within 10
# degrees of the viewer's on 6, within 15 on 8.
FAINT_LENIENCY = 0.85
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
    is_faint : bool
        True if it has less support than a rim needs, in a picture without any that has enough.
    """

    ellipse: Ellipse
    support: float
    axis_ratio_error: float
    is_faint: bool = False


def find_rims(pixels: NDArray[np.uint8], things: Labels | None = None) -> tuple[Rim, ...]:
    """Find the rims of round things in (H, W, 3) uint8 sRGB pixels, best first.

    Parameters
    ----------
    pixels : (H, W, 3) uint8 array
    things : (h, w) integer array or None
        Label map of the placed things, 0 where there is none, at any resolution. Rims are searched
        around these, and everywhere only if these have none.
    """
    # The same one of a picture and its mirror image is measured, so that both give the same rims.
    mirrored = mirror_is_canonical(pixels)
    if mirrored:
        pixels = np.ascontiguousarray(pixels[:, ::-1])
        things = None if things is None else np.ascontiguousarray(things[:, ::-1])
    picture = _Picture(pixels)
    height, width = picture.shape
    found, is_faint = picture.rims(things)
    rims = tuple(replace(_rim(rim, width, height), is_faint=is_faint) for rim in found)
    return tuple(_mirrored(rim) for rim in rims) if mirrored else rims


def _mirrored(rim: Rim) -> Rim:
    x, y = rim.ellipse.centre
    angle_deg = fold_angle_deg(-rim.ellipse.angle_deg)
    return replace(rim, ellipse=Ellipse(Point(1 - x, y), rim.ellipse.semi_axes, angle_deg))


class _Picture:
    """A picture, its reduced copies and its smoothed values."""

    def __init__(self, pixels: NDArray[np.uint8]) -> None:
        self._image = reduced(Image.fromarray(pixels), REFINEMENT_SIDE_PX)
        self.shape = (self._image.height, self._image.width)

    def rims(self, things: Labels | None) -> tuple[list[Refined], bool]:
        """Rims, or faint ones where there are none, and whether they are faint."""
        rims, candidates = self._certain(things)
        if rims:
            return rims, False
        least = LARGE_FRACTION * diagonal_px(*self.shape)  # small faint arcs are food or letters
        large = [rim for rim in candidates if rim.ellipse[2] >= least]
        return select(large, self.shape, FAINT_LENIENCY), True

    def _certain(self, things: Labels | None) -> tuple[list[Refined], list[Refined]]:
        """Rims from the outlines of things, then from arcs around the remaining things.

        Returns also all candidates, rims or not.
        """
        if things is None or not _large(things).any():
            arcs = self._by_arcs(np.ones(self.edges.shape, dtype=np.bool_), [])
            return select(arcs, self.shape), arcs
        proposed = self._by_outlines(things)
        found = [rim for rim in proposed if rim.support > EXPLAINING_SUPPORT]
        rims = select(found, self.shape)
        left = _unexplained(things, rims, self.shape)
        if not left.any():
            return rims, proposed
        part = _neighbourhood(left, self.edges.shape)
        arcs = self._by_arcs(part, found)
        rims = select(found + arcs, self.shape)
        searched = part[self.edges.rows, self.edges.columns]
        if not rims and searched.size and searched.mean() < MAX_SEARCHED_EDGES:
            rims, everywhere = self._certain(None)
            return rims, found + arcs + everywhere
        return rims, found + arcs

    @cached_property
    def edges(self) -> Edges:
        """The edges of the picture at the detection size."""
        return find_edges(opponent(smoothed(reduced(self._image, DETECTION_SIDE_PX))))

    @cached_property
    def _smoothed(self) -> Smoothed:
        return smoothed(self._image)

    def _by_outlines(self, things: Labels) -> list[Refined]:
        every = np.arange(len(self.edges.points))
        proposals = propose_rims(things, self.edges.shape)
        candidates = best_supported(proposals, self.edges, every, PROMISING_SUPPORT)
        return self._refined(candidates, [])

    def _by_arcs(self, part: NDArray[np.bool_], known: list[Refined]) -> list[Refined]:
        edges = self.edges.within(part)
        return self._refined(find_candidates(edges, link_arcs(edges)), known)

    def _refined(self, candidates: Floats, known: list[Refined]) -> list[Refined]:
        """Candidates that are not known yet, each refined to its edge."""
        height, width = self.edges.shape
        scale = np.array([self.shape[1] / width, self.shape[0] / height])
        enlarged = candidates * (*scale, scale.mean(), scale.mean(), 1)
        certain = [rim.ellipse for rim in known if rim.support > CERTAIN_SUPPORT]
        if certain and len(enlarged):
            apart = separations(np.array(certain), enlarged).min(axis=0)
            enlarged = enlarged[apart >= SAME_EDGE_OVERLAP]
        return refine(enlarged, self._smoothed)


def _large(things: Labels) -> NDArray[np.bool_]:
    """Mask, by number, of the things wide enough to have a rim that would be kept."""
    least = MIN_WIDTH_FRACTION * diagonal_px(*things.shape)
    windows = find_objects(things.astype(np.intp))
    wide = [w is not None and w[1].stop - w[1].start >= least for w in windows]
    return np.array([False, *wide])


def _unexplained(things: Labels, rims: list[Refined], shape: tuple[int, int]) -> NDArray[np.bool_]:
    """Mask of the things that may have a rim that matters and for which none was found."""
    scale = np.array([shape[1] / things.shape[1], shape[0] / things.shape[0]])
    certain = [rim.ellipse for rim in rims if rim.support > EXPLAINING_SUPPORT]
    least = MINOR_WIDTH * max((2 * ellipse[2] for ellipse in certain), default=0.0)
    left = _large(things)
    windows = find_objects(things.astype(np.intp))
    for number in np.nonzero(left)[0].tolist():
        rows, columns = windows[number - 1]
        low = np.array([columns.start, rows.start]) * scale
        high = np.array([columns.stop, rows.stop]) * scale
        explained = any(_explains(ellipse, low, high) for ellipse in certain)
        left[number] = high[0] - low[0] >= least and not explained
    return left[things]


def _explains(ellipse: Floats, low: Floats, high: Floats) -> bool:
    """True if a rim belongs to the thing in a box, or to the dish that the thing lies on."""
    half = np.hypot(ellipse[2] * np.cos(ellipse[4]), ellipse[3] * np.sin(ellipse[4]))
    middle = (low + high) / 2
    if distances_px(ellipse, middle[None])[0] < 0:
        return True
    start, stop = max(ellipse[0] - half, low[0]), min(ellipse[0] + half, high[0])
    width = high[0] - low[0]
    over = low[1] - ellipse[3] < ellipse[1] < high[1] + ellipse[3]
    return bool(over and stop - start > SAME_WIDTH * width and width > SAME_WIDTH * 2 * half)


def _neighbourhood(things: NDArray[np.bool_], shape: tuple[int, int]) -> NDArray[np.bool_]:
    """Mask of things with a margin, resized."""
    margin = round(MARGIN_FRACTION * float(np.hypot(*things.shape)))
    wide = maximum_filter(things.astype(np.uint8), 2 * margin + 1)
    size = (shape[1], shape[0])
    return np.asarray(Image.fromarray(wide).resize(size, Image.Resampling.NEAREST)) > 0


def _rim(found: Refined, width: int, height: int) -> Rim:
    """Convert a rim to the coordinates of `auditor.geometry`."""
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
