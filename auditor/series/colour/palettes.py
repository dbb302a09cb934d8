"""The palettes of a set: how far they are apart, and the colours that are foreign to the set.

The distance of a picture's palette from the others shows how much a set has in common. But one
picture shows more table and the next more food, and that moves palettes farther apart than a
foreign colour on a twelfth of the frame does. Outliers are therefore found by colours alone: those
of which no other picture has even a shade, each weighted by its share.
"""

from __future__ import annotations

from collections.abc import Sequence, Set
from dataclasses import dataclass
from statistics import median

import numpy as np
from numpy.typing import NDArray

from auditor.colorimetry import Swatch, ciede2000
from auditor.measurements.measured_photograph import MeasuredPhotograph
from auditor.measurements.palette import MAX_COLOURS, MERGE_DIFFERENCE
from auditor.quantities import QUANTITIES, set_rule
from auditor.quantities.set_rules import LEAST_PICTURES_FOR_OUTLIERS
from auditor.series.colour.leave_one_out import ALL_AGAIN_UP_TO
from auditor.series.colour.palette_distance import palette_distances
from auditor.series.statistics.outliers import deviation_limits
from auditor.series.statistics.readings import (
    LEAST_PICTURES_FOR_CENTRE,
)
from auditor.series.statistics.robust import centre_and_spread, qn_spread
from auditor.series.statistics.series_quantity import ForeignColours, Outlier, SeriesQuantity

# Pictures that each is compared with in a large set; more hardly move the median. In a very large
# one fewer are taken: each comparison is a linear programme.
PARTNERS = 16
LARGE_SET, PARTNERS_IN_LARGE_SET = 512, 6
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


Palette = tuple[Swatch, ...]


@dataclass(frozen=True, slots=True)
class ComparedPalettes:
    """The palettes of a set compared with each other.

    Attributes
    ----------
    palettes : sequence of tuple of Swatch
    distances : sequence of float
        Of each the median distance from others.
    foreign : sequence of ForeignColours
        The colours of each that no other has.
    """

    palettes: Sequence[Palette]
    distances: Sequence[float]
    foreign: Sequence[ForeignColours]


def compare_palettes(
    measured: Sequence[MeasuredPhotograph], earlier: ComparedPalettes | None = None
) -> ComparedPalettes | None:
    """Compare the palettes of a set; None if there are too few.

    Parameters
    ----------
    measured : sequence of MeasuredPhotograph
        Those without a palette are left out.
    earlier : ComparedPalettes or None
        Of the same set before some of its pictures were changed. In a set of more than
        `ALL_AGAIN_UP_TO` what was found then of the other pictures is taken over.
    """
    palettes = [picture.palette for picture in measured if picture.palette]
    if len(palettes) < LEAST_PICTURES_FOR_CENTRE:
        return None
    places = range(len(palettes))
    is_again = earlier is not None and len(earlier.palettes) == len(palettes) > ALL_AGAIN_UP_TO
    if earlier is None or not is_again:
        return ComparedPalettes(
            palettes, typical_distances(palettes, places), foreign_colours(palettes, places)
        )
    changed = [place for place in places if palettes[place] != earlier.palettes[place]]
    distances, foreign = list(earlier.distances), list(earlier.foreign)
    found = typical_distances(palettes, changed), foreign_colours(palettes, changed)
    for place, distance, colours in zip(changed, *found, strict=True):
        distances[place], foreign[place] = distance, colours
    return ComparedPalettes(palettes, distances, foreign)


def follow_palettes(
    measured: Sequence[MeasuredPhotograph],
    explained: Set[str] = frozenset(),
    compared: ComparedPalettes | None = None,
) -> SeriesQuantity:
    """Follow the palette over a set.

    Parameters
    ----------
    measured : sequence of MeasuredPhotograph
    explained : set of str
        Files of pictures that are already reported as lighter, warmer or paler than the set. That
        their colours as a whole differ is not reported again.
    compared : ComparedPalettes or None
        From `compare_palettes`; found here if it is None.

    Returns
    -------
    SeriesQuantity
        The value of a picture is the median of its distances from others, in CIEDE2000.
    """
    unit = QUANTITIES["palette"].unit
    pictures = [picture for picture in measured if picture.palette]
    compared = compared or compare_palettes(pictures)
    if compared is None:
        return SeriesQuantity("palette", unit, (), None, None, ())
    centre, spread = centre_and_spread(compared.distances)
    values = tuple((p.file, value) for p, value in zip(pictures, compared.distances, strict=True))
    outliers = [
        Outlier(file, value, value - centre, foreign=foreign)
        for (file, value), foreign in zip(values, _outlying(compared.foreign), strict=True)
        if foreign is not None and not (foreign.is_whole_picture and file in explained)
    ]
    return SeriesQuantity("palette", unit, values, centre, spread, tuple(outliers))


def typical_distances(palettes: Sequence[Palette], asked: Sequence[int]) -> list[float]:
    """Median distance of a palette from the others, or from some of them evenly over all.

    For each of those that are asked for, by their places.
    """
    n = len(palettes)
    n_partners = PARTNERS if n <= LARGE_SET else PARTNERS_IN_LARGE_SET
    steps = sorted({round(k * n / (n_partners + 1)) for k in range(1, n_partners + 1)} - {0, n})
    if n <= n_partners + 1:
        steps = list(range(1, n))
    partners = {place: [(place + step) % n for step in steps] for place in asked}
    pairs = sorted({(min(i, j), max(i, j)) for i in asked for j in partners[i]})
    found = palette_distances([(palettes[i], palettes[j]) for i, j in pairs])
    distance = dict(zip(pairs, found, strict=True))
    return [median(distance[min(i, j), max(i, j)] for j in partners[i]) for i in asked]


def foreign_colours(palettes: Sequence[Palette], asked: Sequence[int]) -> list[ForeignColours]:
    """Colours of a palette that are foreign to all others, for each that is asked for."""
    swatches = [swatch for palette in palettes for swatch in palette]
    sizes = [len(palette) for palette in palettes]
    owner = np.repeat(np.arange(len(palettes)), sizes)
    shares = np.array([swatch.share for swatch in swatches])
    labs = np.array([swatch.lab for swatch in swatches])
    is_asked = np.isin(owner, asked)
    beyond = np.zeros(len(labs))
    beyond[is_asked] = np.maximum(0, _nearest_elsewhere(labs, owner, is_asked) - MERGE_DIFFERENCE)
    weights = np.minimum(shares, FULL_SHARE) * beyond
    starts = np.cumsum(sizes) - sizes
    found = []
    for place in asked:
        start = int(starts[place])
        own = slice(start, start + sizes[place])
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


def _nearest_elsewhere(
    labs: NDArray[np.float64], owner: NDArray[np.intp], is_asked: NDArray[np.bool_]
) -> NDArray[np.float64]:
    """CIEDE2000 from each colour that is asked for to the nearest one of another owner."""
    from scipy.spatial import cKDTree  # slow to load, and needed for sets alone

    n_near = min(len(labs), MAX_COLOURS + CANDIDATES)
    own = labs[is_asked]
    _, near = cKDTree(labs).query(own, k=n_near)
    differences = ciede2000(own[:, np.newaxis], labs[near], lightness_factor=LIGHTNESS_FACTOR)
    differences[owner[near] == owner[is_asked][:, np.newaxis]] = np.inf
    nearest: NDArray[np.float64] = differences.min(axis=1)
    return nearest


def _outlying(foreign: Sequence[ForeignColours]) -> list[ForeignColours | None]:
    """The foreign colours of each picture that is an outlier by them; None for the others."""
    if len(foreign) < LEAST_PICTURES_FOR_OUTLIERS:
        return [None] * len(foreign)
    weights = [one.weight for one in foreign]
    middle = median(weights)
    deviations = [weight - middle for weight in weights]
    _, above = deviation_limits(deviations, qn_spread(weights), set_rule("palette"))
    return [one if one.weight - middle > above else None for one in foreign]
