"""The border between two lights of different colour temperature in one picture.

Two lights split the colours of every material that lies on both sides of their border: the colours
of the picture become more diverse. Making one side cooler by the difference of the lights brings
them together again. So the border and the difference are those that lower the entropy of the
picture's colours most (entropy minimisation finds an illuminant's direction in Finlayson, Drew, Lu:
Intrinsic images by entropy minimization, 2004). Warm things beside white ones do not do this: no
shift of one side merges their colours, unless the border follows their outline.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from auditor.colour_signature.neutral_plane import Cells
from auditor.measurements.colour_temperature.colour_entropy import (
    FAR_MIRED,
    LARGEST_DIFFERENCE_MIRED,
    Colours,
    places,
)

Floats = NDArray[np.float64]

MIN_CELLS = 200
"""Usable cells, of about 1700, below which no border is searched for; no source."""

ANGLES_DEG = tuple(range(0, 180, 15))
OFFSETS = (-0.24, -0.12, 0.0, 0.12, 0.24)
"""Directions and distances from the middle, relative to the longer side, of the borders tried."""

SOFTNESS, SOFTNESSES = 0.04, (0.01, 0.04, 0.08, 0.15)
"""Width of a border, relative to the longer side: half of that from 10 to 90 % of a light. The
first is used in the search, the others to refine what it finds."""

DIFFERENCES_MIRED = (
    *(45.0, 60.0, 75.0, 90.0, 110.0, 130.0, 155.0, 185.0, 215.0),
    LARGEST_DIFFERENCE_MIRED,
)
"""Differences of the two lights tried, either way."""

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

COARSE_EVIDENCE, REFINED_EVIDENCE, FEW_COLOURS_NATS = 0.25, (0.33, 0.38), 4.0
"""Evidence of the best border so far below which the search ends: before it is refined, and after
the first and the second refinement; and the entropy of a picture of few colours, in which the
search goes on: there a border that is not quite met adds more colours than it takes out. Of 195
borders that the whole search found, the lowest began at 0.29; of 187, the lowest had 0.39 after the
first refinement and 0.43 after the second (food photographs, ECSSD, COCO 2017, and soft and hard
borders drawn onto them; 656 pictures)."""

WORTH_A_LOOK_NATS = 0.1
"""How far a border's gain in the first look may lie below the best one for more of its differences
to be tried, and those of the borders beside it. On 323 pictures with and without a second light
that a first look found worth more (ECSSD, COCO 2017, food and views; 131 with a border) the result
was that of the whole coarse set; with 0.06 it was so on all but two."""

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

    @property
    def apart_mired(self) -> float:
        """Difference of the two lights in warmth."""
        return abs(self.warmer_mired)

    def rank(self) -> tuple[float, float]:
        """Order of borders: by the gain, then by the difference."""
        return self.gain, self.warmer_mired


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
    colours = Colours(cells)
    if colours.n_cells < MIN_CELLS:
        return None
    found = _search(colours)
    if (
        found is None
        or found.apart_mired < MIN_APART_MIRED
        or _evidence(colours, found) < MIN_EVIDENCE
    ):
        return None
    found = _refined(colours, found, range(N_REFINEMENTS, N_REFINEMENTS + N_LAST_REFINEMENTS))
    x, y = places(*cells.usable.shape)
    beyond = found.border.share_beyond(x, y)
    seen = beyond[cells.usable]
    if min((seen < BORDER_SHARE).mean(), (seen > 1 - BORDER_SHARE).mean()) < MIN_ALONE_SHARE:
        return None
    return LightBorder(beyond if found.warmer_mired > 0 else 1 - beyond, found.apart_mired)


def _evidence(colours: Colours, found: _Found) -> float:
    """Evidence for a border."""
    plain = float(colours.plain[int(found.apart_mired >= FAR_MIRED)])
    return found.gain + ENTROPY_SHARE * plain - COST_PER_MIRED * found.apart_mired


def _search(colours: Colours) -> _Found | None:
    """The border that lowers the entropy most: the best of a coarse set, refined.

    A first look takes every second border and difference, the second what lies near its best. None
    if no border of the first look, or of the coarse set, comes near to enough evidence.
    """
    borders = {
        (row, column): _Border(angle, offset, SOFTNESS)
        for row, angle in enumerate(ANGLES_DEG)
        for column, offset in enumerate(OFFSETS)
    }
    looked_at = {
        place: _best_difference(colours, border, _either_way(DIFFERENCES_MIRED[::2]))
        for place, border in borders.items()
        if sum(place) % 2 == 0
    }
    if not _may_be_enough(colours, looked_at.values(), COARSE_EVIDENCE):
        return None
    least = max(found.gain for found in looked_at.values()) - WORTH_A_LOOK_NATS
    tried = list(looked_at.values())
    for place, border in borders.items():
        differences = _worth_trying(place, looked_at, least)
        if differences:
            tried.append(_best_difference(colours, border, _either_way(differences)))
    of_each = {found.border: found for found in sorted(tried, key=_Found.rank)}
    tried = [of_each[border] for border in borders.values() if border in of_each]
    best = sorted(tried, key=lambda found: -found.gain)[:N_REFINED]
    needed = (COARSE_EVIDENCE, *REFINED_EVIDENCE)
    for n, so_far in zip(range(N_REFINEMENTS), needed, strict=True):
        if not _may_be_enough(colours, tried if n == 0 else best, so_far):
            return None
        best = [_refined(colours, found, range(n, n + 1)) for found in best]
    return max(best, key=lambda found: found.gain)


def _worth_trying(
    place: tuple[int, int], looked_at: Mapping[tuple[int, int], _Found], least: float
) -> Sequence[float]:
    """Differences to try for a border after the first look; none if it and those beside are poor.

    `least` is the gain in the first look from which they are not.
    """
    if place in looked_at:
        return DIFFERENCES_MIRED[1::2] if looked_at[place].gain >= least else ()
    is_near = any(looked_at[beside].gain >= least for beside in _beside(*place))
    return DIFFERENCES_MIRED if is_near else ()


def _beside(row: int, column: int) -> Iterator[tuple[int, int]]:
    """Borders of the coarse set one step of direction or of place away."""
    last = len(OFFSETS) - 1
    for step in (-1, 1):
        if 0 <= column + step <= last:
            yield row, column + step
        # Half a turn on, the same border has the opposite distance from the middle.
        turned = (row + step) % len(ANGLES_DEG)
        yield turned, column if turned == row + step else last - column


def _either_way(differences: Sequence[float]) -> list[float]:
    """The differences with the warmer light on either side."""
    return [*(-difference for difference in differences), *differences]


def _may_be_enough(colours: Colours, tried: Iterable[_Found], so_far: float) -> bool:
    """Whether one of the borders has evidence from which further steps may lead to enough."""
    if colours.plain[0] < FEW_COLOURS_NATS:
        return True
    return max(_evidence(colours, found) for found in tried) >= so_far


def _best_difference(colours: Colours, border: _Border, differences: Sequence[float]) -> _Found:
    """The difference of the lights that lowers the entropy most, for one border."""
    gains = colours.gains(border.share_beyond(colours.x, colours.y), differences)
    found = [_Found(gain, warmer, border) for gain, warmer in zip(gains, differences, strict=True)]
    best = max(found, key=_Found.rank)
    return best if np.isfinite(best.gain) else replace(best, warmer_mired=0.0)


def _refined(colours: Colours, best: _Found, rounds: range) -> _Found:
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
        # `max` takes the first of equals: what was found before stays unless another is better.
        shares = np.stack([tried.share_beyond(colours.x, colours.y) for tried in near])
        gains = colours.gains_of_each(shares, warmer)
        varied = [_Found(gain, warmer, tried) for gain, tried in zip(gains, near, strict=True)]
        best = max([best, *varied], key=lambda found: found.gain)
        steps = 1 + step * DIFFERENCE_STEP * np.arange(-3, 4)
        near_differences = [d for d in (warmer * steps).tolist() if abs(d) <= DIFFERENCES_MIRED[-1]]
        best = max(
            [best, _best_difference(colours, best.border, near_differences)],
            key=lambda found: found.gain,
        )
    return best
