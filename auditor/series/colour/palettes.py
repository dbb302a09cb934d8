"""The palettes of a set: how far they are apart, and the colours that are foreign to the set.

The distance of a picture's palette from the others shows how much a set has in common. But one
picture shows more table and the next more food, and that moves palettes farther apart than a
foreign colour on a twelfth of the frame does. Outliers are therefore found by colours alone: those
of which no other picture has even a shade, each weighted by its share.
"""

from __future__ import annotations

from collections.abc import Sequence, Set
from statistics import median

import numpy as np
from numpy.typing import NDArray

from auditor.colorimetry import Swatch, ciede2000
from auditor.measurements.measured_photograph import MeasuredPhotograph
from auditor.measurements.palette import MAX_COLOURS, MERGE_DIFFERENCE
from auditor.quantities import QUANTITIES, set_rule
from auditor.quantities.set_rules import LEAST_PICTURES_FOR_OUTLIERS
from auditor.series.colour.palette_distance import palette_distances
from auditor.series.statistics.outliers import deviation_limits
from auditor.series.statistics.readings import (
    LEAST_PICTURES_FOR_CENTRE,
)
from auditor.series.statistics.robust import centre_and_spread, qn_spread
from auditor.series.statistics.series_quantity import ForeignColours, Outlier, SeriesQuantity

# Pictures that each is compared with in a large set; more hardly move the median.
PARTNERS = 16
# Nearest colours in CIELAB among which the one with the smallest CIEDE2000 is searched.
CANDIDATES = 48

# Lightness weighs less than hue and chroma (the parametric factor kL of CIE 142-2001): shade and
# the fall-off of light change the lightness of an object, and it is still the same object.
LIGHTNESS_FACTOR = 1.5
# Share of the frame at which the weight of a colour is capped: a larger area is no more foreign, it
# is another dish or another part of the table seen from near. In the registry, the noticeable
# weight is that of a garnish on 2 % of the frame, 34 from all other colours. On 26 rendered sets
# (`check_series.py`) 7 of 313 pictures are flagged with it, 18 with half of it, and 50 of 52
# planted colours.
FULL_SHARE = 0.1
# From this share of the frame on, the foreign colours are not those of one thing: the picture has
# another light or another table (common practice, no source).
WHOLE_PICTURE_SHARE = 0.3


def follow_palettes(
    measured: Sequence[MeasuredPhotograph], explained: Set[str] = frozenset()
) -> SeriesQuantity:
    """Follow the palette over a set.

    Parameters
    ----------
    measured : sequence of MeasuredPhotograph
    explained : set of str
        Files of pictures that are already reported as lighter, warmer or paler than the set. That
        their colours as a whole differ is not reported again.

    Returns
    -------
    SeriesQuantity
        The value of a picture is the median of its distances from others, in CIEDE2000.
    """
    unit = QUANTITIES["palette"].unit
    pictures = [picture for picture in measured if picture.palette]
    if len(pictures) < LEAST_PICTURES_FOR_CENTRE:
        return SeriesQuantity("palette", unit, (), None, None, ())
    distances = typical_distances([picture.palette for picture in pictures])
    centre, spread = centre_and_spread(distances)
    values = tuple((p.file, value) for p, value in zip(pictures, distances, strict=True))
    outliers = [
        Outlier(file, value, value - centre, foreign=foreign)
        for (file, value), foreign in zip(values, _outlying_colours(pictures), strict=True)
        if foreign is not None and not (foreign.is_whole_picture and file in explained)
    ]
    return SeriesQuantity("palette", unit, values, centre, spread, tuple(outliers))


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
    """Colours in each of two or more palettes that are foreign to all others."""
    swatches = [swatch for palette in palettes for swatch in palette]
    sizes = [len(palette) for palette in palettes]
    owner = np.repeat(np.arange(len(palettes)), sizes)
    shares = np.array([swatch.share for swatch in swatches])
    labs = np.array([swatch.lab for swatch in swatches])
    beyond = np.maximum(0, _nearest_elsewhere(labs, owner) - MERGE_DIFFERENCE)
    weights = np.minimum(shares, FULL_SHARE) * beyond
    found = []
    for start, size in zip(np.cumsum(sizes) - sizes, sizes, strict=True):
        own = slice(start, start + size)
        share = float(shares[own][beyond[own] > 0].sum())
        found.append(
            ForeignColours(
                float(weights[own].sum()),
                share,
                swatches[start + int(np.argmax(weights[own]))],
                is_whole_picture=share >= WHOLE_PICTURE_SHARE,
            )
        )
    return found


def _nearest_elsewhere(labs: NDArray[np.float64], owner: NDArray[np.intp]) -> NDArray[np.float64]:
    """CIEDE2000 from each colour to the nearest one of another owner."""
    from scipy.spatial import cKDTree  # slow to load, and needed for sets alone

    n_near = min(len(labs), MAX_COLOURS + CANDIDATES)
    _, near = cKDTree(labs).query(labs, k=n_near)
    differences = ciede2000(labs[:, np.newaxis], labs[near], lightness_factor=LIGHTNESS_FACTOR)
    differences[owner[near] == owner[:, np.newaxis]] = np.inf
    nearest: NDArray[np.float64] = differences.min(axis=1)
    return nearest


def _outlying_colours(pictures: Sequence[MeasuredPhotograph]) -> list[ForeignColours | None]:
    """The foreign colours of each picture that is an outlier by them; None for the others."""
    if len(pictures) < LEAST_PICTURES_FOR_OUTLIERS:
        return [None] * len(pictures)
    foreign = foreign_colours([picture.palette for picture in pictures])
    weights = [one.weight for one in foreign]
    middle = median(weights)
    deviations = [weight - middle for weight in weights]
    _, above = deviation_limits(deviations, qn_spread(weights), set_rule("palette"))
    return [one if one.weight - middle > above else None for one in foreign]
