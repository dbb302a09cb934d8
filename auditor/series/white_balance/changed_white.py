"""Outliers of colour temperature, by the readings and by the colours of all other pictures."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import numpy as np

from auditor.colour_signature import mired_from_warmth, warmth_from_mired
from auditor.measurements.measured_photograph import MeasuredPhotograph
from auditor.quantities.set_rules import LEAST_PICTURES_FOR_OUTLIERS
from auditor.series.colour.leave_one_out import LikeliestChange, changes_of_white
from auditor.series.statistics.followed_quantity import SetQuantity
from auditor.series.statistics.outliers import unless_too_many
from auditor.series.statistics.readings import choose_readings
from auditor.series.statistics.series_quantity import Outlier, SeriesQuantity

# On 26 rendered sets of the teaching family, the colours alone found 120 of 130 pictures shifted by
# 35 mired and flagged 8 of 313 unchanged ones. In sets whose pictures share few colours they find
# almost nothing.
LEAST_GAIN = 0.7
AGREEING_SPREADS = 4.0  # the two kinds of evidence agree within this distance from the reading


def with_changed_white(
    quantity: SetQuantity, followed: SeriesQuantity, measured: Sequence[MeasuredPhotograph]
) -> SeriesQuantity:
    """Colour temperature over the set, with the evidence of the colours added.

    A picture is an outlier if either kind of evidence flags it and the other does not contradict
    it.
    """
    if len(measured) < LEAST_PICTURES_FOR_OUTLIERS or followed.centre is None:
        return followed
    white = warmth_from_mired(followed.centre)
    changes = changes_of_white([picture.colours for picture in measured])
    usual = float(np.median([change.amount for change in changes]))
    by_reading = {outlier.file: outlier for outlier in followed.outliers}
    bounds = _bounds(quantity, followed, measured)
    found = []
    for picture, change in zip(measured, changes, strict=True):
        outlier = by_reading.get(picture.file)
        if outlier is not None:
            warmer = warmth_from_mired(followed.centre + outlier.deviation) - white
            if not change.contradicts(warmer + usual):
                found.append(outlier)
            continue
        deviation = mired_from_warmth(white + change.amount - usual) - followed.centre
        low, high = bounds.get(picture.file, (deviation, deviation))
        if _is_certain(change, deviation, quantity) and low <= deviation <= high:
            found.append(Outlier(picture.file, followed.centre + deviation, deviation))
    return replace(followed, outliers=unless_too_many(found, len(measured)))


def _is_certain(change: LikeliestChange, deviation: float, quantity: SetQuantity) -> bool:
    return change.gain >= LEAST_GAIN and abs(deviation) > quantity.rule.noticeable


def _bounds(
    quantity: SetQuantity, followed: SeriesQuantity, measured: Sequence[MeasuredPhotograph]
) -> dict[str, tuple[float, float]]:
    """By file, the lowest and highest deviation from the centre that the reading allows."""
    if followed.centre is None or followed.spread is None:
        return {}
    least_reach = max(quantity.rule.noticeable, AGREEING_SPREADS * followed.spread)
    bounds = {}
    for file, reading in choose_readings(quantity, measured).items():
        away, reach = reading.value - followed.centre, max(least_reach, reading.tolerance)
        bounds[file] = (away - reach, away + reach)
    return bounds
