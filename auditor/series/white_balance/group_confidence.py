"""How certain the level of a tied group is: pictures that agree confirm each other.

The colours that pictures share show how they differ, not how warm all of them are. That level is
the median of what they measure by themselves. Their errors come from the things on the table, and
pictures of one table have these in common: many pictures of it are no more certain than a typical
one. What matters is whether they agree on the level: if one is measured by the cloth and another by
the cup, their errors have different causes.
"""

from __future__ import annotations

from collections.abc import Sequence
from statistics import fmean, median

from auditor.measurements.colour_temperature import TOLERANCE_MIRED

# Readings agree if their median distance from the common level is at most this: half of the
# tolerance of a single reading.
AGREEMENT_MIRED = TOLERANCE_MIRED / 2
# Factors on the doubt, which is 1 minus confidence. On 22 rendered sets of one look, complete and
# with pictures left out at random (241 groups), with an earlier estimator that was confident of few
# pictures, the level was within the tolerance
#
# * in 76 % of the groups that agreed (18 sets), where the mean confidence was 61 %,
# * in 54 % of those that did not agree (13 sets), where it was 60 %,
# * in 48 % of those with a single confident picture, where it was 58 %.
#
# With today's estimator, on 28 sets of the family `checking` (`check_known_temperatures.py`), the
# temperatures known through the set were within the tolerance on 87 to 90 % where the confidence
# was 79 to 80 %, and on 60 to 65 % where a picture contradicted its set and the confidence was 72
# to 75 %.
AGREED_DOUBT, UNCONFIRMED_DOUBT = 0.65, 1.2


def group_confidence(confidences: Sequence[float], residuals_mired: Sequence[float]) -> float:
    """Probability that the level of a group errs by at most `TOLERANCE_MIRED`.

    Parameters
    ----------
    confidences : sequence of float
        Of the single pictures that set the level.
    residuals_mired : sequence of float
        Level by each of these pictures, minus the common level.
    """
    doubt = 1 - fmean(confidences)
    middle = median(abs(residual) for residual in residuals_mired)
    agreed = len(confidences) > 1 and middle <= AGREEMENT_MIRED
    return max(0.0, 1 - doubt * (AGREED_DOUBT if agreed else UNCONFIRMED_DOUBT))
