"""Contrast and saturation, which leave the set only where the whole picture does.

A picture with less orange in it has a lower mean chroma, one without a dark dish less contrast;
neither was developed differently. What was, is changed throughout: the middle of its values and the
strong ones alike, by about the same factor. So each is read in two places of the picture, each is
compared with the set, and the smaller of the two changes counts, if both go the same way.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from auditor.measurements.measured_photograph import MeasuredPhotograph
from auditor.series.outliers import (
    LEAST_PICTURES_FOR_CENTRE,
    LEAST_PICTURES_FOR_OUTLIERS,
    Outlier,
    SeriesQuantity,
)
from auditor.series.quantities import N_QUANTITIES
from auditor.series.robust import centre_and_spread, outlier_threshold


@dataclass(frozen=True, slots=True)
class ThroughoutQuantity:
    """How one such quantity is followed.

    Attributes
    ----------
    name, unit : str
    value : callable
        What is told of a picture.
    places : callable
        What is compared, in the same unit.
    grain : float
        Added to what is compared, in the same unit: below it factors say nothing.
    noticeable : tuple of float
        Change down and up to which nothing is told, binary logarithm.
    least_spread : float
        As in `SetQuantity`, but of the binary logarithm.
    higher, lower : str
        What is said, with ``{percent}`` in it.
    """

    name: str
    unit: str
    value: Callable[[MeasuredPhotograph], float]
    places: Callable[[MeasuredPhotograph], tuple[float, ...]]
    grain: float
    noticeable: tuple[float, float]
    least_spread: float
    higher: str
    lower: str


def _as_exposed(picture: MeasuredPhotograph, *values: float) -> tuple[float, ...]:
    """Differences in CIELAB as they would be at middle grey exposure.

    L* + 16, a* and b* follow the cube root of light (CIE 15:2018): a picture that is one EV darker
    has a fifth less chroma and contrast, which its exposure tells already.
    """
    factor = 2.0 ** (-picture.tone.exposure_ev / 3)
    return tuple(value * factor for value in values)


REST = "than the rest of the set, throughout"

# What changes with the content alone, in whole frames: on parts of photographs and on composed
# tables (`tests/benchmarks/check_series_colours.py`) saturation hardly ever falls by a quarter
# throughout, but a wooden board under the food lifts it by a third; contrast goes by a third either
# way with a dark kettle or a fall-off of light.
THROUGHOUT_QUANTITIES = (
    ThroughoutQuantity(
        "contrast",
        "L*",
        lambda picture: picture.tone.contrast,
        lambda picture: _as_exposed(picture, picture.tone.contrast, picture.tone.midtone_contrast),
        grain=2.0,
        noticeable=(0.6, 0.6),
        least_spread=0.1,
        higher=f"more contrast {REST} (by {{percent}}%)",
        lower=f"less contrast {REST} (by {{percent}}%)",
    ),
    ThroughoutQuantity(
        "saturation",
        "C*",
        lambda picture: picture.saturation.mean_chroma,
        lambda picture: _as_exposed(
            picture, picture.saturation.median_chroma, picture.saturation.high_chroma
        ),
        grain=1.0,
        noticeable=(0.42, 0.6),
        least_spread=0.08,
        higher=f"more saturated {REST} (by {{percent}}%)",
        lower=f"less saturated {REST} (by {{percent}}%)",
    ),
)


def follow_throughout(
    quantity: ThroughoutQuantity, measured: Sequence[MeasuredPhotograph]
) -> SeriesQuantity:
    """Follow one quantity over a set.

    Returns
    -------
    SeriesQuantity
        The deviation of an outlier is from what its own value would be without the change.
    """
    values = tuple((picture.file, quantity.value(picture)) for picture in measured)
    if len(values) < LEAST_PICTURES_FOR_CENTRE:
        return SeriesQuantity(quantity.name, quantity.unit, values, None, None, ())
    centre, spread = centre_and_spread([value for _, value in values])
    outliers = _outliers(quantity, measured)
    return SeriesQuantity(quantity.name, quantity.unit, values, centre, spread, outliers)


def changes(places: NDArray[np.float64]) -> NDArray[np.float64]:
    """Change of each picture against the others, binary logarithm.

    Parameters
    ----------
    places : (N, K) float array
        Binary logarithms of what was read in the K places of each of two or more pictures.

    Returns
    -------
    (N,) float array
        The smallest of the K changes against the median of the others; 0 where they disagree.
    """
    n = len(places)
    others = [np.median(np.delete(places, nth, axis=0), axis=0) for nth in range(n)]
    each = places - np.array(others)
    agree = np.abs(np.sign(each).sum(axis=1)) == each.shape[1]
    smallest = np.abs(each).min(axis=1)
    return np.where(agree, np.sign(each[:, 0]) * smallest, 0.0)


def _outliers(
    quantity: ThroughoutQuantity, measured: Sequence[MeasuredPhotograph]
) -> tuple[Outlier, ...]:
    if len(measured) < LEAST_PICTURES_FOR_OUTLIERS:
        return ()
    read = np.array([quantity.places(picture) for picture in measured], dtype=np.float64)
    change = changes(np.log2(read + quantity.grain)).tolist()
    _, spread = centre_and_spread(change)
    threshold = outlier_threshold(len(change), N_QUANTITIES, read.shape[1])
    limit = threshold * max(spread, quantity.least_spread)
    below, above = (max(noticeable, limit) for noticeable in quantity.noticeable)
    found = []
    for picture, octaves in zip(measured, change, strict=True):
        if not -below <= octaves <= above:
            value = quantity.value(picture)
            sentence = quantity.higher if octaves > 0 else quantity.lower
            percent = f"{abs(2**octaves - 1) * 100:.0f}"
            message = sentence.format(percent=percent)
            found.append(Outlier(picture.file, value, value * (1 - 2**-octaves), message))
    return tuple(found)
