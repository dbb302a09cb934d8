"""The border between two lights of different colour temperature in one picture.

Two lights split the colours of every material that lies on both sides of their border: the colours
of the picture become more diverse. Making one side cooler by the difference of the lights brings
them together again. So the border and the difference are those that lower the entropy of the
picture's colours most (entropy minimisation finds an illuminant's direction in Finlayson, Drew, Lu:
Intrinsic images by entropy minimization, 2004). Warm things beside white ones do not do this: no
shift of one side merges their colours, unless the border follows their outline.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from auditor.colorimetry import XYZ_FROM_LINEAR, cell_means, grid_shape
from auditor.colour_signature.neutral_plane import (
    BRIGHTEST_LINEAR,
    DARKEST_LUMINANCE,
    Cells,
    plane_from_linear,
)
from auditor.measurements.colour_temperature.locus import locus_duv

Floats = NDArray[np.float64]

LONGEST_SIDE_CELLS = 48
"""Cells of the grid; one of 96 cells found borders hardly better (AUC 0.962 instead of 0.958)."""

MIN_CELLS = 200
"""Usable cells, of about 1700, below which no border is searched for; no source."""

WARMTH_BIN_MIRED, DUV_BIN, BRIGHTNESS_BIN_EV = 8.0, 0.005, 1.0
"""Bins of the histogram of colours, of which warmth is smoothed over about two bins. Finer ones
found fewer borders, coarser ones no more."""

MAX_WARMTH_MIRED = 400.0
"""Warmth either way of D65 beyond which colours count as equally saturated."""

N_WARMTH_BINS = int(2 * MAX_WARMTH_MIRED / WARMTH_BIN_MIRED) + 4
MAX_DUV_BINS, MAX_BRIGHTNESS_BINS = 20, 16

ANGLES_DEG = tuple(range(0, 180, 15))
OFFSETS = (-0.24, -0.12, 0.0, 0.12, 0.24)
"""Directions and distances from the middle, relative to the longer side, of the borders tried."""

SOFTNESS, SOFTNESSES = 0.04, (0.01, 0.04, 0.08, 0.15)
"""Width of a border, relative to the longer side: half of that from 10 to 90 % of a light. The
first is used in the search, the others to refine what it finds."""

DIFFERENCES_MIRED = (45.0, 60.0, 75.0, 90.0, 110.0, 130.0, 155.0, 185.0, 215.0, 245.0)
"""Differences of the two lights tried, either way; illuminant A is 201 from D65 in warmth."""

FAR_MIRED, FAR_DUV_BIN = 100.0, 0.01
LAMP_DUV, LAMP_MIRED = 0.0028, 200.0
"""From this difference on, the curve of the Planckian locus counts, and lights differ in Duv: at
illuminant A a lamp is 0.0057 below the curve of daylight in the plane. Duv is taken relative to the
middle of the two, in coarser bins."""

MIN_SHARE = 0.12
"""Share of the usable cells that each light must have."""

ANGLE_STEP_DEG, OFFSET_STEP, DIFFERENCE_STEP = 5.0, 0.04, 0.08
N_REFINED, N_REFINEMENTS, N_LAST_REFINEMENTS = 4, 3, 3
"""Steps of the refinement, the last relative to the difference; how many borders are refined, how
often, and how often again the best one. Each time halves the steps."""

ENTROPY_SHARE, COST_PER_MIRED = 0.05, 0.0005
"""The evidence for a border is its gain of entropy in nats, plus a share of the entropy, since a
picture of many colours gains less, less a cost of its difference: lights far apart are rarer."""

MIN_EVIDENCE = 0.43
"""Evidence from which a border is reported. Chosen on half of 550 photographs of all kinds of
subjects (ECSSD, COCO 2017, ECUSTFD) so that at most one in twenty has one. Of all of them 19 have
one, and 442 with two lights drawn onto them, 60 mired apart."""

BORDER_SHARE, MIN_ALONE_SHARE = 0.1, 0.05
"""Share of the weaker light from which a cell lies on the border, and least share of the usable
cells that each light must have beside it: otherwise the frame shows no two lights."""

MIN_APART_MIRED = 40.0
"""Difference below which two lights are one with its fall-off and reflections: the step from
daylight to a cloudy sky, or between two lamp filters; common practice."""

HALF_WIDTH_TO_SCALE = 2.2  # a logistic step goes from 10 to 50 % within 2.2 of its scale


@dataclass(frozen=True, slots=True)
class LightBorder:
    """A border between two lights.

    Attributes
    ----------
    warm_share : (rows, columns) float array
        Share of the warmer light at each cell of the grid of `Cells`, in [0, 1].
    apart_mired : float
        Difference of the two lights in warmth.
    """

    warm_share: Floats
    apart_mired: float


@dataclass(frozen=True, slots=True)
class _Border:
    """A straight border: direction, distance from the middle, and width."""

    angle_deg: float
    offset: float
    softness: float

    def share_beyond(self, x: Floats, y: Floats) -> Floats:
        """Share of the light beyond the border at places relative to the middle of the frame."""
        angle = np.radians(self.angle_deg)
        away = np.cos(angle) * x + np.sin(angle) * y - self.offset
        return np.asarray(1 / (1 + np.exp(-away * HALF_WIDTH_TO_SCALE / self.softness)))


@dataclass(frozen=True, slots=True)
class _Found:
    """Gain of entropy by a border, and how much warmer it gets across."""

    gain: float
    warmer_mired: float
    border: _Border

    def or_better(self, colours: _Colours, border: _Border, differences: Sequence[float]) -> _Found:
        """The better one of this and another border."""
        gain, warmer = colours.gain(border, differences)
        return _Found(gain, warmer, border) if gain > self.gain else self


class _Colours:
    """The usable colours of a picture on a coarse grid, to compute entropies of."""

    def __init__(self, cells: Cells) -> None:
        height, width = cells.usable.shape
        rows, columns = grid_shape(height, width, LONGEST_SIDE_CELLS)
        light = cell_means(cells.light, rows, columns)
        luminance = light @ XYZ_FROM_LINEAR[1]
        usable = (light.max(axis=-1) <= BRIGHTEST_LINEAR) & (luminance >= DARKEST_LUMINANCE)
        x, y = _places(rows, columns)
        self.x, self.y = x[usable], y[usable]
        plane = plane_from_linear(light[usable])
        self.warmth = plane[:, 0]
        brightness = np.rint(np.log2(luminance[usable]) / BRIGHTNESS_BIN_EV)
        brightness = np.clip(brightness, 1 - MAX_BRIGHTNESS_BINS, 0)
        from_locus = plane[:, 1] - locus_duv(self.warmth) + LAMP_DUV * self.warmth / LAMP_MIRED
        self.kinds = [
            _Kinds(plane[:, 1] / DUV_BIN, brightness),
            _Kinds(from_locus / FAR_DUV_BIN, brightness, spread=True),
        ]
        self.plain = [self.entropy(0.0, kinds) for kinds in self.kinds]

    def entropy(self, warmer: Floats | float, kinds: _Kinds) -> float:
        """Entropy of the colours, in nats, if each cell is made cooler by `warmer`."""
        place = (self.warmth - warmer + MAX_WARMTH_MIRED) / WARMTH_BIN_MIRED
        place = np.clip(place, 0, N_WARMTH_BINS - 4)
        lower = place.astype(np.intp)
        part = place - lower
        counts = np.zeros(kinds.n_bins)
        for first_bin, weight in kinds.parts:
            counts += np.bincount(first_bin + lower, weight * (1 - part), kinds.n_bins)
            counts += np.bincount(first_bin + lower + 1, weight * part, kinds.n_bins)
        counts[1:-1] = (counts[:-2] + 2 * counts[1:-1] + counts[2:]) / 4
        share = counts[counts > 0] / len(place)
        return float(-(share * np.log(share)).sum())

    def gain(self, border: _Border, differences: Sequence[float]) -> tuple[float, float]:
        """Largest gain of entropy by taking out a border, and the difference of its lights.

        Minus infinity if one side is too small.
        """
        beyond = border.share_beyond(self.x, self.y)
        mean = float(beyond.mean())
        if not MIN_SHARE <= mean <= 1 - MIN_SHARE:
            return -np.inf, 0.0
        found = []
        for warmer in differences:
            far = int(abs(warmer) >= FAR_MIRED)
            after = self.entropy(warmer * (beyond - mean), self.kinds[far])
            found.append((self.plain[far] - after, warmer))
        return max(found)


class _Kinds:
    """Cells by Duv and brightness; each kind has a histogram of warmth."""

    def __init__(self, duv_bins: Floats, brightness: Floats, *, spread: bool = False) -> None:
        """Count a cell in the nearest bin of Duv or, if `spread`, in the two nearest."""
        place = np.clip(duv_bins, -MAX_DUV_BINS, MAX_DUV_BINS)
        below = np.floor(place)
        parts = [(np.rint(place), np.ones(len(place)))]
        if spread:
            parts = [(below, below + 1 - place), (below + 1, place - below)]
        kinds = [bins * MAX_BRIGHTNESS_BINS + brightness for bins, _ in parts]
        found, kind = np.unique(np.concatenate(kinds), return_inverse=True)
        self.n_bins = len(found) * N_WARMTH_BINS
        first_bins = np.split(kind * N_WARMTH_BINS + 1, len(parts))
        self.parts = [(bins, w) for bins, (_, w) in zip(first_bins, parts, strict=True)]


def find_border(cells: Cells) -> LightBorder | None:
    """Find the border between two lights.

    Parameters
    ----------
    cells : Cells
        Of the picture; all usable ones count, also those of the subject.

    Returns
    -------
    LightBorder or None
        None where one light explains the colours.
    """
    colours = _Colours(cells)
    if len(colours.warmth) < MIN_CELLS:
        return None
    found = _search(colours)
    apart = abs(found.warmer_mired)
    plain = colours.plain[int(apart >= FAR_MIRED)]
    evidence = found.gain + ENTROPY_SHARE * plain - COST_PER_MIRED * apart
    if apart < MIN_APART_MIRED or evidence < MIN_EVIDENCE:
        return None
    found = _refined(colours, found, range(N_REFINEMENTS, N_REFINEMENTS + N_LAST_REFINEMENTS))
    x, y = _places(*cells.usable.shape)
    beyond = found.border.share_beyond(x, y)
    seen = beyond[cells.usable]
    if min((seen < BORDER_SHARE).mean(), (seen > 1 - BORDER_SHARE).mean()) < MIN_ALONE_SHARE:
        return None
    return LightBorder(beyond if found.warmer_mired > 0 else 1 - beyond, abs(found.warmer_mired))


def _search(colours: _Colours) -> _Found:
    """The border that lowers the entropy most: the best of a coarse set, refined."""
    differences = [*(-d for d in DIFFERENCES_MIRED), *DIFFERENCES_MIRED]
    borders = [_Border(angle, offset, SOFTNESS) for angle in ANGLES_DEG for offset in OFFSETS]
    tried = [_Found(*colours.gain(border, differences), border) for border in borders]
    best = sorted(tried, key=lambda found: -found.gain)[:N_REFINED]
    refined = [_refined(colours, found, range(N_REFINEMENTS)) for found in best]
    return max(refined, key=lambda found: found.gain)


def _refined(colours: _Colours, best: _Found, rounds: range) -> _Found:
    """Vary width, direction, place and difference in turn, in ever smaller steps."""
    for n in rounds:
        step = 0.5**n
        border, warmer = best.border, best.warmer_mired
        near = [
            *(replace(border, softness=softness) for softness in SOFTNESSES),
            *(replace(border, angle_deg=border.angle_deg + k * step * ANGLE_STEP_DEG)
              for k in (-2, -1, 1, 2)),
            *(replace(border, offset=border.offset + k * step * OFFSET_STEP) for k in (-1, 1)),
        ]  # fmt: skip
        for tried in near:
            best = best.or_better(colours, tried, [warmer])
        steps = 1 + step * DIFFERENCE_STEP * np.arange(-3, 4)
        near_differences = [d for d in warmer * steps if abs(d) <= DIFFERENCES_MIRED[-1]]
        best = best.or_better(colours, best.border, near_differences)
    return best


def _places(rows: int, columns: int) -> tuple[Floats, Floats]:
    """Places of cells relative to the middle of the frame, in units of its longer side."""
    y, x = np.mgrid[:rows, :columns].astype(np.float64)
    longer = max(rows, columns)
    return (x + 0.5 - columns / 2) / longer, (y + 0.5 - rows / 2) / longer
