"""Exposure compared over what the pictures of a set share.

The mean over a whole frame depends on what is in it: a close view of a dark stew is darker than the
table with a white bowl, however both are exposed. Pictures that share colours are compared by
these; the mean over the frame only sets the level of each tied group.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from auditor.measurements.measured_photograph import MeasuredPhotograph
from auditor.series.colour.tied_pictures import TiedPictures
from auditor.series.statistics.followed_quantity import Reading

# Largest trusted error of the difference from the rest of the set. In the largest group it is that
# of the comparison, with few shared colours or with many; elsewhere that of means over whole
# frames, which spread by 0.3 to 0.8 EV in sets that hold together (32 sets of photographs of one
# table).
WELL_TIED_EV, LOOSELY_TIED_EV, UNTIED_EV = 0.25, 0.5, 1.0
LEAST_WELL_TIED_SHARE = 0.5  # of the pictures (no source)


def shared_exposures(
    measured: Sequence[MeasuredPhotograph], tied: TiedPictures
) -> dict[str, Reading]:
    """Exposure in EV of each picture, by its file; none where the set shares too little.

    Loosely tied pictures of unrelated tables match in some brightness or other, which would explain
    a true difference away.
    """
    if not measured or tied.is_well_tied.mean() < LEAST_WELL_TIED_SHARE:
        return {}
    relative = tied.relative_exposure_ev()
    whole = np.array([picture.tone.exposure_ev for picture in measured])
    largest = max(tied.groups, key=len)
    readings: dict[int, Reading] = {}
    for members in tied.groups:
        level = float(np.median(whole[members] - relative[members]))
        for member in members.tolist():
            tolerance = WELL_TIED_EV if tied.is_well_tied[member] else LOOSELY_TIED_EV
            if members is not largest or members.size == 1:
                tolerance = UNTIED_EV
            readings[member] = Reading(level + float(relative[member]), tolerance)
    return {measured[member].file: readings[member] for member in range(len(measured))}
