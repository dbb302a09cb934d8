"""Saturation over the set: the reading that the set holds, and each picture against the rest.

A picture with less orange in it has a lower mean chroma and was not developed differently. What
was, has less of it everywhere. Where a set is held to one saturation, be it of the frame's mean or
of the table that all stand on, a picture that leaves that reading leaves the set; and where it is
not, the colours of one picture still say whether they would be the others' if they were stronger.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence

import numpy as np
from numpy.typing import NDArray

from auditor.measurements.measured_photograph import MeasuredPhotograph
from auditor.series.colour.leave_one_out import changes_of_saturation
from auditor.series.quantities import N_QUANTITIES, lightness_ev
from auditor.series.statistics.outliers import (
    LEAST_PICTURES_FOR_OUTLIERS,
    SeriesQuantity,
    follow_changes,
    ratio_words,
)
from auditor.series.statistics.robust import outlier_limit, qn_spread

GRAIN_CHROMA = 1.0  # added to chroma before the logarithm: below it factors say nothing
LEAST_SPREAD_OCTAVES = 0.08
# Down and up, in octaves: in whole frames saturation hardly ever falls by a quarter with the
# content alone, but a wooden board under the food lifts it by a third
# (`tests/benchmarks/check_series_colours.py`).
NOTICEABLE_OCTAVES = (0.42, 0.6)
# On 26 rendered sets of the teaching family this alone told 103 of 130 pictures with half their
# saturation and named 4 of 313 as they were. In sets that share little it tells next to nothing.
LEAST_GAIN = 0.5
AGREEING_OCTAVES = NOTICEABLE_OCTAVES[0]  # within which two readings tell the same

SENTENCES = (
    "less saturated than the rest of the set, throughout ({amount})",
    "more saturated than the rest of the set, throughout ({amount})",
)


def _ground_chroma(picture: MeasuredPhotograph) -> float:
    """Mean chroma of what lies around the elements, or of the frame where they fill it."""
    ground = picture.ground_palette or picture.palette
    total = sum(swatch.share for swatch in ground)
    if total <= 0:
        return picture.saturation.mean_chroma
    return sum(swatch.share * math.hypot(*swatch.lab[1:]) for swatch in ground) / total


READINGS: tuple[Callable[[MeasuredPhotograph], float], ...] = (
    lambda picture: picture.saturation.mean_chroma,
    lambda picture: picture.saturation.median_chroma,
    lambda picture: picture.saturation.high_chroma,
    _ground_chroma,
)


def follow_saturation(measured: Sequence[MeasuredPhotograph]) -> SeriesQuantity:
    """Follow saturation over a set.

    Returns
    -------
    SeriesQuantity
        Values are mean C*; the deviation of an outlier is from what its own would be without the
        change.
    """
    values = tuple((picture.file, picture.saturation.mean_chroma) for picture in measured)
    changes = _leaving(measured).tolist()
    return follow_changes("saturation", "C*", values, changes, GRAIN_CHROMA, _said)


def _said(octaves: float) -> str:
    return SENTENCES[octaves > 0].format(amount=ratio_words(2**octaves))


def _leaving(measured: Sequence[MeasuredPhotograph]) -> NDArray[np.float64]:
    """Change (N,) in octaves of the pictures that leave the set, 0 for the others."""
    if len(measured) < LEAST_PICTURES_FOR_OUTLIERS:
        return np.zeros(len(measured))
    read, limit, least = _steadiest(measured)
    changes = changes_of_saturation([picture.colours for picture in measured])
    usual = float(np.median([change.amount for change in changes]))
    amount = np.array([change.amount - usual for change in changes])
    likely = np.array([change.gain >= LEAST_GAIN for change in changes])
    unlikely = np.array(
        [change.contradicts(own + usual) for change, own in zip(changes, read, strict=True)]
    )
    left = _beyond(read, limit) & ~unlikely
    # A board under the food lifts the table's chroma, strong development that of everything.
    left &= (read < 0) | (least > NOTICEABLE_OCTAVES[1])
    moved = _beyond(amount, 0.0) & likely & (np.abs(amount - read) <= max(limit, AGREEING_OCTAVES))
    # Strong colours come nearer to the neutral faster than their chroma falls: the less is told.
    lesser = np.where(np.sign(amount) == np.sign(read), np.minimum(abs(amount), abs(read)), amount)
    return np.where(left, read, np.where(moved, np.sign(amount) * abs(lesser), 0.0))


def _beyond(octaves: NDArray[np.float64], limit: float) -> NDArray[np.bool_]:
    down, up = NOTICEABLE_OCTAVES
    return (octaves < -max(down, limit)) | (octaves > max(up, limit))


def _steadiest(
    measured: Sequence[MeasuredPhotograph],
) -> tuple[NDArray[np.float64], float, NDArray[np.float64]]:
    """Deviations (N,) in octaves in the reading that the set holds most evenly, and their limit.

    Beside them the least deviation (N,) in any reading.

    As they would be at middle grey exposure: a* and b* follow the cube root of light (CIE 15:2018),
    so that a picture that is one EV darker has a fifth less chroma, which its exposure tells.
    """
    exposed = np.exp2([-lightness_ev(picture.tone) / 3 for picture in measured])
    chroma = np.array([[read(picture) for picture in measured] for read in READINGS])
    octaves = np.log2(chroma * exposed + GRAIN_CHROMA)
    spreads = [max(LEAST_SPREAD_OCTAVES, qn_spread(values)) for values in octaves]
    chosen = int(np.argmin(spreads))
    limit = outlier_limit(
        len(measured),
        N_QUANTITIES,
        spreads[chosen],
        LEAST_SPREAD_OCTAVES,
        n_readings=len(READINGS),
    )
    deviations = octaves - np.median(octaves, axis=1, keepdims=True)
    return deviations[chosen], limit, deviations.min(axis=0)
