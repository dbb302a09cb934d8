"""Outliers of colour temperature, by the readings and by the colours of all other pictures."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import numpy as np

from auditor.colour_signature import mired_from_warmth, warmth_from_mired
from auditor.measurements.measured_photograph import MeasuredPhotograph
from auditor.progress_calls import Progress, silent
from auditor.quantities.set_rules import LEAST_PICTURES_FOR_OUTLIERS
from auditor.series.colour.leave_one_out import FoundChanges, changes_of_white
from auditor.series.statistics.followed_quantity import SetQuantity
from auditor.series.statistics.outliers import unless_too_many
from auditor.series.statistics.series_quantity import Outlier, SeriesQuantity

# On 26 rendered sets of the teaching family, the colours alone found 120 of 130 pictures shifted by
# 35 mired and flagged 8 of 313 unchanged ones. In sets whose pictures share few colours they find
# almost nothing.
LEAST_GAIN = 0.7
# Pictures that show the usual change, spread evenly over a larger set: bounds the time.
SAMPLED = 256


def with_changed_white(
    quantity: SetQuantity,
    followed: SeriesQuantity,
    measured: Sequence[MeasuredPhotograph],
    earlier: FoundChanges | None = None,
    progress: Progress = silent,
) -> tuple[SeriesQuantity, FoundChanges | None]:
    """Colour temperature over the set, with the evidence of the colours added.

    A picture is an outlier if its reading lies apart and the colours do not contradict it, or if
    the colours are certain of a change and the reading deviates noticeably in the same direction.

    Parameters
    ----------
    quantity : SetQuantity
    followed : SeriesQuantity
        By the readings alone.
    measured : sequence of MeasuredPhotograph
    earlier : FoundChanges or None
        Of the same set before some of its pictures were changed.
    progress : callable

    Returns
    -------
    followed : SeriesQuantity
    changes : FoundChanges or None
        None if the colours were not asked.
    """
    if len(measured) < LEAST_PICTURES_FOR_OUTLIERS or followed.centre is None:
        return followed, None
    white = warmth_from_mired(followed.centre)
    by_reading = {outlier.file: outlier for outlier in followed.outliers}
    readings = dict(followed.values)
    doubtful = [
        place
        for place, picture in enumerate(measured)
        if picture.file in by_reading
        or abs(readings.get(picture.file, followed.centre) - followed.centre)
        > quantity.rule.noticeable
    ]
    sample = np.linspace(0, len(measured) - 1, min(len(measured), SAMPLED)).astype(np.intp).tolist()
    asked = sorted({*sample, *doubtful})
    found_changes = changes_of_white(
        [picture.colours for picture in measured], asked, earlier, progress
    )
    changes = found_changes.of
    usual = float(np.median([changes[place].amount for place in sample]))
    found = []
    for place in doubtful:
        file, change = measured[place].file, changes[place]
        outlier = by_reading.get(file)
        if outlier is not None:
            warmer = warmth_from_mired(followed.centre + outlier.deviation) - white
            if not change.contradicts(warmer + usual):
                found.append(outlier)
            continue
        deviation = readings[file] - followed.centre
        by_colours = mired_from_warmth(white + change.amount - usual) - followed.centre
        is_noticeable = abs(by_colours) > quantity.rule.noticeable and deviation * by_colours > 0
        if change.gain >= LEAST_GAIN and is_noticeable:
            found.append(Outlier(file, readings[file], deviation))
    outliers = unless_too_many(found, len(measured))
    farthest = None if outliers else followed.farthest
    return replace(followed, outliers=outliers, farthest=farthest), found_changes
