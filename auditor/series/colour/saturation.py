"""Saturation over the set: by the reading with the least spread, and by the colours themselves.

A picture with less orange in it has a lower mean chroma although it was developed like the others.
If the development differs, all its colours are weaker. Two kinds of evidence are used. In some sets
all pictures have one saturation, of the whole frame or of the table under the food: then a picture
that differs in that reading is an outlier. In other sets the colours of one picture still show
whether they would be those of the other pictures if they were stronger.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence

import numpy as np
from numpy.typing import NDArray

from auditor.measurements.measured_photograph import MeasuredPhotograph
from auditor.measurements.tone import lightness_ev
from auditor.quantities import set_rule
from auditor.quantities.set_rules import LEAST_PICTURES_FOR_OUTLIERS
from auditor.series.colour.leave_one_out import FoundChanges, changes_of_saturation
from auditor.series.statistics.followed_quantity import N_QUANTITIES
from auditor.series.statistics.outliers import follow_changes
from auditor.series.statistics.robust import outlier_limit, qn_spread
from auditor.series.statistics.series_quantity import SeriesQuantity

GRAIN_CHROMA = 1.0  # added to chroma before the logarithm: smaller values have no useful ratio
RULE = set_rule("saturation")
# In octaves. The registry has the smallest noticeable loss; the smallest noticeable gain is larger,
# because a wooden board under the food alone raises the saturation of a frame by a third
# (`tests/benchmarks/check_series_colours.py`).
NOTICEABLE_LOSS, NOTICEABLE_GAIN = RULE.noticeable, 0.6
# On 26 rendered sets of the teaching family, the colours alone found 103 of 130 pictures with half
# their saturation, and flagged 4 of 313 unchanged ones. In sets whose pictures share few colours
# they find almost nothing.
LEAST_GAIN = 0.5
AGREEING_OCTAVES = RULE.noticeable  # the two kinds of evidence agree within this


def _ground_chroma(picture: MeasuredPhotograph) -> float:
    """Mean chroma of what surrounds the elements, or of the frame if they fill it."""
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


def follow_saturation(
    measured: Sequence[MeasuredPhotograph],
    by_colours: FoundChanges | None = None,
    *,
    finds_outliers: bool = True,
) -> SeriesQuantity:
    """Follow saturation over a set; values are the mean C* of the pictures.

    Parameters
    ----------
    measured : sequence of MeasuredPhotograph
    by_colours : FoundChanges or None
        From `changes_of_saturation`; found here if it is None.
    finds_outliers : bool
        False for pictures of no one set.
    """
    values = tuple((picture.file, picture.saturation.mean_chroma) for picture in measured)
    octaves = _changes(measured, by_colours) if finds_outliers else np.zeros(len(measured))
    return follow_changes("saturation", values, octaves.tolist(), GRAIN_CHROMA)


def _changes(
    measured: Sequence[MeasuredPhotograph], by_colours: FoundChanges | None
) -> NDArray[np.float64]:
    """Change (N,) in octaves of the pictures that are outliers, 0 for the others."""
    if len(measured) < LEAST_PICTURES_FOR_OUTLIERS:
        return np.zeros(len(measured))
    read, limit, least = _chosen_reading(measured)
    if by_colours is None:
        by_colours = changes_of_saturation([picture.colours for picture in measured])
    changes = [by_colours.of[place] for place in range(len(measured))]
    usual = float(np.median([change.amount for change in changes]))
    amount = np.array([change.amount - usual for change in changes])
    is_likely = np.array([change.gain >= LEAST_GAIN for change in changes])
    is_contradicted = np.array(
        [change.contradicts(own + usual) for change, own in zip(changes, read, strict=True)]
    )
    by_reading = _beyond(read, limit) & ~is_contradicted
    # A board under the food raises the chroma of the table only, strong development all readings.
    by_reading &= (read < 0) | (least > NOTICEABLE_GAIN)
    agrees = np.abs(amount - read) <= max(limit, AGREEING_OCTAVES)
    is_off_in_colours = _beyond(amount, 0.0) & is_likely & agrees
    # Towards neutral strong colours move faster than their chroma falls: the smaller change counts.
    smaller = np.where(np.sign(amount) == np.sign(read), np.minimum(abs(amount), abs(read)), amount)
    return np.where(
        by_reading, read, np.where(is_off_in_colours, np.sign(amount) * abs(smaller), 0.0)
    )


def _beyond(octaves: NDArray[np.float64], limit: float) -> NDArray[np.bool_]:
    return (octaves < -max(NOTICEABLE_LOSS, limit)) | (octaves > max(NOTICEABLE_GAIN, limit))


def _chosen_reading(
    measured: Sequence[MeasuredPhotograph],
) -> tuple[NDArray[np.float64], float, NDArray[np.float64]]:
    """Choose the reading with the least spread.

    All values are as they would be at middle grey exposure: a* and b* follow the cube root of
    luminance (CIE 15:2018). Therefore a picture that is one EV darker has a fifth less chroma,
    which its exposure explains.

    Returns
    -------
    deviations : (N,) float array
        From the median of that reading, in octaves.
    limit : float
        Beyond which a deviation is an outlier.
    least : (N,) float array
        The smallest deviation of each picture in any reading.
    """
    exposed = np.exp2([-lightness_ev(picture.tone) / 3 for picture in measured])
    chroma = np.array([[read(picture) for picture in measured] for read in READINGS])
    octaves = np.log2(chroma * exposed + GRAIN_CHROMA)
    spreads = [max(RULE.least_spread, qn_spread(values)) for values in octaves]
    chosen = int(np.argmin(spreads))
    limit = outlier_limit(
        len(measured),
        N_QUANTITIES,
        spreads[chosen],
        RULE.least_spread,
        n_readings=len(READINGS),
    )
    deviations = octaves - np.median(octaves, axis=1, keepdims=True)
    return deviations[chosen], limit, deviations.min(axis=0)
