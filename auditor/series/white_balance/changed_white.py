"""Pictures that leave the set's white, told against all that the others show together."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import numpy as np

from auditor.measurements.colour_temperature import mired_from_warmth, warmth_from_mired
from auditor.measurements.measured_photograph import MeasuredPhotograph
from auditor.series.colour.leave_one_out import LikeliestChange, changes_of_white
from auditor.series.quantities import SetQuantity
from auditor.series.statistics.outliers import (
    LEAST_PICTURES_FOR_OUTLIERS,
    Outlier,
    SeriesQuantity,
    amount_words,
    exceptions,
    steadiest_readings,
)

# On 26 rendered sets of the teaching family this alone told 120 of 130 pictures shifted by 35 mired
# and named 8 of 313 as they were. In sets that share little it tells next to nothing.
LEAST_GAIN = 0.7
AGREEING_SPREADS = 4.0  # from what the readings say, within which a change may be the same


def with_changed_white(
    quantity: SetQuantity, followed: SeriesQuantity, measured: Sequence[MeasuredPhotograph]
) -> SeriesQuantity:
    """Colour temperature over the set, heard with what the others' colours say.

    Those leave the set, too, that the others' colours accuse and the reading does not acquit; and
    those do not that the reading accuses and the others' colours acquit.
    """
    if len(measured) < LEAST_PICTURES_FOR_OUTLIERS or followed.centre is None:
        return followed
    white = warmth_from_mired(followed.centre)
    changes = changes_of_white([picture.colours for picture in measured])
    usual = float(np.median([change.amount for change in changes]))
    told = {outlier.file: outlier for outlier in followed.outliers}
    bounds = _bounds(quantity, followed, measured)
    found = []
    for picture, change in zip(measured, changes, strict=True):
        outlier = told.get(picture.file)
        if outlier is not None:
            warmer = warmth_from_mired(followed.centre + outlier.deviation) - white
            if not change.contradicts(warmer + usual):
                found.append(outlier)
            continue
        deviation = mired_from_warmth(white + change.amount - usual) - followed.centre
        low, high = bounds.get(picture.file, (deviation, deviation))
        if _is_sure(change, deviation, quantity) and low <= deviation <= high:
            found.append(_outlier(picture.file, deviation, quantity, followed.centre))
    return replace(followed, outliers=exceptions(found, len(measured)))


def _is_sure(change: LikeliestChange, deviation: float, quantity: SetQuantity) -> bool:
    return change.gain >= LEAST_GAIN and abs(deviation) > quantity.noticeable


def _bounds(
    quantity: SetQuantity, followed: SeriesQuantity, measured: Sequence[MeasuredPhotograph]
) -> dict[str, tuple[float, float]]:
    """By file, between which deviations from the centre the reading allows it to lie."""
    if followed.centre is None or followed.spread is None:
        return {}
    vague = max(quantity.noticeable, AGREEING_SPREADS * followed.spread)
    bounds = {}
    for file, reading in steadiest_readings(quantity, measured).items():
        away, reach = reading.value - followed.centre, max(vague, reading.tolerance)
        bounds[file] = (away - reach, away + reach)
    return bounds


def _outlier(file: str, deviation: float, quantity: SetQuantity, centre: float) -> Outlier:
    sentence = quantity.higher if deviation > 0 else quantity.lower
    message = sentence.format(amount=amount_words(abs(deviation)))
    return Outlier(file, centre + deviation, deviation, message)
