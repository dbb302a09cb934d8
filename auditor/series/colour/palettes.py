"""The palettes of a set: how far they lie apart, and the colours that are foreign to it.

How far a picture's palette is from the others' tells how tightly a set is held; but one picture
shows more table and the next more food, and that moves palettes further apart than a foreign colour
on a twelfth of the frame does. What leaves the set is therefore told by the colours alone: those of
which no other picture has even a shade, each weighed by its share.
"""

from __future__ import annotations

from collections.abc import Sequence, Set
from dataclasses import dataclass
from statistics import median

import numpy as np
from numpy.typing import NDArray
from scipy.spatial import cKDTree
from skimage.color import deltaE_ciede2000

from auditor.colorimetry import Swatch, nearest_named_colour
from auditor.measurements.measured_photograph import MeasuredPhotograph
from auditor.measurements.palette import MAX_COLOURS, MERGE_DIFFERENCE
from auditor.series.colour.palette_distance import palette_distances
from auditor.series.statistics.outliers import (
    LEAST_PICTURES_FOR_CENTRE,
    LEAST_PICTURES_FOR_OUTLIERS,
    Outlier,
    SeriesQuantity,
    limits,
)
from auditor.series.statistics.robust import centre_and_spread, qn_spread

PARTNERS = 16  # pictures that each is compared with in a large set; their median hardly moves
# Nearest colours in CIELAB among which the one of least CIEDE2000 is sought.
CANDIDATES = 48

# Lightness weighs less than hue and chroma (the parametric factor kL of CIE 142-2001): shade and
# the fall-off of light make another lightness of a thing and not another thing.
LIGHTNESS_FACTOR = 1.5
# A larger area is no more foreign: it is another dish or another part of the table seen from near.
FULL_SHARE = 0.1
# Weight of what is foreign (share of the frame times CIEDE2000 beyond a shade) that is always
# borne: a garnish on 2 % of the frame in a colour of its own, 34 from all others. On 26 rendered
# sets (`check_series.py`) 7 of 313 pictures are named then, 18 at half of it, and 50 of 52 planted
# colours.
NOTICEABLE_FOREIGN = 0.5
LEAST_SPREAD_FOREIGN = 0.05
# From this share of the frame on it is not a thing in a foreign colour but a picture in other
# light or on another table (common practice, no source).
WHOLE_PICTURE_SHARE = 0.3


@dataclass(frozen=True, slots=True)
class ForeignColours:
    """What in one picture's palette no other picture has.

    Attributes
    ----------
    weight : float
        Sum over the colours of share, at most `FULL_SHARE`, times CIEDE2000 beyond a shade of the
        nearest elsewhere.
    share : float
        Share of the frame in such colours.
    strongest : Swatch
        The colour that weighs most.
    """

    weight: float
    share: float
    strongest: Swatch

    @property
    def is_whole_picture(self) -> bool:
        """Whether the picture is another one rather than a thing in it."""
        return self.share >= WHOLE_PICTURE_SHARE

    def message(self) -> str:
        """Say it to a photographer."""
        name = nearest_named_colour(self.strongest.lab).name
        colour = f"{name} {self.strongest.hex}"
        percent = f"{self.strongest.share * 100:.0f}%"
        if self.is_whole_picture:
            return f"its colours are not those of the set, foremost {colour} on {percent} of it"
        return f"{colour} on {percent} of the frame is foreign to the set"


def follow_palettes(
    measured: Sequence[MeasuredPhotograph], explained: Set[str] = frozenset()
) -> SeriesQuantity:
    """Follow the palette over a set.

    Parameters
    ----------
    measured : sequence of MeasuredPhotograph
    explained : set of str
        Files of pictures that are already told to be lighter, warmer or paler than the set: that
        their colours as a whole differ is not told again.

    Returns
    -------
    SeriesQuantity
        A picture's value is the median of its distances from others, in CIEDE2000.
    """
    pictures = [picture for picture in measured if picture.palette]
    if len(pictures) < LEAST_PICTURES_FOR_CENTRE:
        return SeriesQuantity("palette", "CIEDE2000", (), None, None, ())
    distances = typical_distances([picture.palette for picture in pictures])
    centre, spread = centre_and_spread(distances)
    values = tuple((p.file, value) for p, value in zip(pictures, distances, strict=True))
    outliers = [
        Outlier(file, value, value - centre, foreign.message())
        for (file, value), foreign in zip(values, _leaving(pictures), strict=True)
        if foreign is not None and not (foreign.is_whole_picture and file in explained)
    ]
    return SeriesQuantity("palette", "CIEDE2000", values, centre, spread, tuple(outliers))


def typical_distances(palettes: Sequence[tuple[Swatch, ...]]) -> list[float]:
    """Median distance of each palette from the others, or from `PARTNERS` evenly over them."""
    n = len(palettes)
    steps = sorted({round(k * n / (PARTNERS + 1)) for k in range(1, PARTNERS + 1)} - {0, n})
    if n <= PARTNERS + 1:
        steps = list(range(1, n))
    partners = [[(place + step) % n for step in steps] for place in range(n)]
    pairs = sorted({(min(i, j), max(i, j)) for i in range(n) for j in partners[i]})
    found = palette_distances([(palettes[i], palettes[j]) for i, j in pairs])
    distance = dict(zip(pairs, found, strict=True))
    return [median(distance[min(i, j), max(i, j)] for j in partners[i]) for i in range(n)]


def foreign_colours(palettes: Sequence[tuple[Swatch, ...]]) -> list[ForeignColours]:
    """What is foreign to all others in each of two or more palettes."""
    swatches = [swatch for palette in palettes for swatch in palette]
    owner = np.repeat(np.arange(len(palettes)), [len(palette) for palette in palettes])
    shares = np.array([swatch.share for swatch in swatches])
    labs = np.array([swatch.lab for swatch in swatches])
    beyond = np.maximum(0, _nearest_elsewhere(labs, owner) - MERGE_DIFFERENCE)
    found = []
    for place in range(len(palettes)):
        own = np.flatnonzero(owner == place)
        weights = np.minimum(shares[own], FULL_SHARE) * beyond[own]
        strongest = swatches[own[int(np.argmax(weights))]]
        share = float(shares[own][beyond[own] > 0].sum())
        found.append(ForeignColours(float(weights.sum()), share, strongest))
    return found


def _nearest_elsewhere(labs: NDArray[np.float64], owner: NDArray[np.intp]) -> NDArray[np.float64]:
    """CIEDE2000 from each colour to the nearest one of another owner."""
    n_near = min(len(labs), MAX_COLOURS + CANDIDATES)
    _, near = cKDTree(labs).query(labs, k=n_near)
    differences = deltaE_ciede2000(labs[:, np.newaxis], labs[near], kL=LIGHTNESS_FACTOR)
    differences[owner[near] == owner[:, np.newaxis]] = np.inf
    nearest: NDArray[np.float64] = differences.min(axis=1)
    return nearest


def _leaving(pictures: Sequence[MeasuredPhotograph]) -> list[ForeignColours | None]:
    """For each picture what is foreign in it, if that makes it leave the set."""
    if len(pictures) < LEAST_PICTURES_FOR_OUTLIERS:
        return [None] * len(pictures)
    foreign = foreign_colours([picture.palette for picture in pictures])
    weights = [one.weight for one in foreign]
    middle = median(weights)
    deviations = [weight - middle for weight in weights]
    _, above = limits(deviations, qn_spread(weights), NOTICEABLE_FOREIGN, LEAST_SPREAD_FOREIGN)
    return [one if one.weight - middle > above else None for one in foreign]
