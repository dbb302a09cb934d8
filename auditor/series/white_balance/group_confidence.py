"""How sure the level of a tied group is: pictures that agree vouch for each other.

What pictures share says how they differ, not how warm they all are. That level is the median of
what they say alone, and as each errs by what is on its table, so do all of that table: many
pictures of it are no surer than a typical one of them. Whether they agree on the level is what
tells: where one reads the cloth and the next the cup, they err by different things.
"""

from __future__ import annotations

from collections.abc import Sequence
from statistics import fmean, median

from auditor.measurements.colour_temperature import TOLERANCE_MIRED

# As near as this to their common level, in the middle, readings agree: half of what a single
# reading is trusted within.
AGREEMENT_MIRED = TOLERANCE_MIRED / 2
# On 22 rendered sets of one look, whole and with pictures left out at random (241 groups), with an
# estimator that was sure of few pictures: the level was within the tolerance in 76 % of the groups
# that agreed (18 sets) where a typical picture promised 61 %, in 54 % of those that did not (13
# sets) where it promised 60 %, and in 48 % of those with one picture to hear where it promised
# 58 %. Hence what is left of the doubt, and what it grows to; that estimator has since been
# replaced. With today's, on 28 sets of the family `checking` (`check_known_temperatures.py`), what
# is known by way of the set was within the tolerance on 87 to 90 % where it promised 79 to 80 %,
# and where a picture contradicted its set on 60 to 65 % where it promised 72 to 75 %.
AGREED_DOUBT, UNCONFIRMED_DOUBT = 0.65, 1.2


def level_confidence(confidences: Sequence[float], residuals_mired: Sequence[float]) -> float:
    """Probability that the level errs by at most `TOLERANCE_MIRED`.

    Parameters
    ----------
    confidences : sequence of float
        Of the single pictures that are heard on the level.
    residuals_mired : sequence of float
        What each of them says of the level, less the level.
    """
    doubt = 1 - fmean(confidences)
    middle = median(abs(residual) for residual in residuals_mired)
    agreed = len(confidences) > 1 and middle <= AGREEMENT_MIRED
    return max(0.0, 1 - doubt * (AGREED_DOUBT if agreed else UNCONFIRMED_DOUBT))
