"""Colour temperatures that can be compared within the set.

The neutral of a single picture is known to about 10 mired, and colour casts are underestimated. The
difference of white between two pictures of one table is known much better, from the colours that
both show. So similar pictures are tied to each other by their differences, and the single pictures
only set the level of each tied group.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from auditor.colorimetry import is_of_a_light, kelvin_from_mired
from auditor.colour_signature import mired_from_warmth, warmth_from_mired
from auditor.measurements.colour_temperature import TOLERANCE_MIRED
from auditor.measurements.measured_photograph import MeasuredPhotograph
from auditor.series.colour.tied_pictures import TiedPictures
from auditor.series.statistics.followed_quantity import LEAST_CONFIDENCE
from auditor.series.statistics.robust import centre_and_spread
from auditor.series.white_balance.group_confidence import group_confidence

Floats = NDArray[np.float64]

# On 191 rendered tables of the teaching family, 20 sets of one table each in light of one colour:
# 95 % of the well tied pictures lie within the first of the median of their set, 85 % of the others
# within the second.
WELL_TIED_MIRED, LOOSELY_TIED_MIRED = 8.0, 25.0
# By an earlier estimator, 80 % of the single pictures lay within 29 mired of the median of their
# set and 90 % within 45; today's estimator would allow less. If several pictures of a set are
# untied, their spread shows how far single pictures of this set can be trusted.
UNTIED_MIRED = 45.0
LEAST_UNTIED = 5
UNTIED_SPREADS = 3.0


@dataclass(frozen=True, slots=True)
class SetTemperature:
    """The colour temperature of one picture of a set.

    Attributes
    ----------
    mired : float
    tolerance : float
        Trusted largest error, in mired, of its difference from the rest of the set.
    is_tied : bool
        Whether it is tied to similar pictures; otherwise it is known from the picture alone.
    group_confidence : float
        Probability that `mired` itself, not its difference from the rest, errs by at most
        `TOLERANCE_MIRED`.
    group : int
        Pictures with the same number are tied to each other, directly or through others.
    """

    mired: float
    tolerance: float
    is_tied: bool
    group_confidence: float
    group: int


def set_temperatures(
    measured: Sequence[MeasuredPhotograph], tied: TiedPictures
) -> dict[str, SetTemperature]:
    """Colour temperature of each picture, by its file; without pictures of unknown temperature.

    A level that no light has is unknown too.
    """
    if not measured:
        return {}
    relative = tied.relative_warmth()
    tolerances = np.where(tied.is_well_tied, WELL_TIED_MIRED, LOOSELY_TIED_MIRED)
    alone, confidence = _own_warmth(measured)
    found: dict[int, SetTemperature] = {}
    for number, members in enumerate(tied.groups):
        used = _sets_level(alone[members], confidence[members])
        if not used.any():
            continue
        levels = (alone[members] - relative[members])[used]
        level = float(np.median(levels))
        confident = group_confidence(confidence[members][used].tolist(), (levels - level).tolist())
        for member in members.tolist():
            warmth, tolerance = level + float(relative[member]), float(tolerances[member])
            mired = mired_from_warmth(warmth)
            is_usable = mired > 0 and is_of_a_light(kelvin_from_mired(mired))
            if is_usable and not _is_contradicted(tolerance, alone[member] - warmth):
                found[member] = SetTemperature(
                    mired, tolerance, members.size > 1, confident, number
                )
    untied = _untied_tolerance([one.mired for one in found.values() if not one.is_tied])
    return {
        measured[member].file: one if one.is_tied else replace(one, tolerance=untied)
        for member, one in sorted(found.items())
    }


def _sets_level(alone: Floats, confidence: Floats) -> NDArray[np.bool_]:
    """Which pictures of a group set its level.

    Those with enough confidence; if a tied group has none, all of them. An untied picture with a
    low confidence has no level: low-confidence values never flag outliers.
    """
    is_confident = confidence >= LEAST_CONFIDENCE
    if not is_confident.any():
        is_confident = np.full(alone.size, alone.size > 1)
    return is_confident & np.isfinite(alone)


def _is_contradicted(tolerance: float, away_mired: float) -> bool:
    """Whether a loosely tied picture has a very different temperature by itself.

    It may be tied to pictures that only look similar, and then it must not be an outlier. On 25
    rendered sets of one look, three of six pictures that were flagged wrongly were such, and one of
    58 that were flagged rightly (of 70 changed by 38 mired).
    """
    return tolerance >= LOOSELY_TIED_MIRED and abs(away_mired) > LOOSELY_TIED_MIRED


def _untied_tolerance(mired: Sequence[float]) -> float:
    """Tolerance of untied pictures, from their spread."""
    if len(mired) < LEAST_UNTIED:
        return UNTIED_MIRED
    _, spread = centre_and_spread(mired)
    return min(UNTIED_MIRED, max(TOLERANCE_MIRED, UNTIED_SPREADS * spread))


def _own_warmth(measured: Sequence[MeasuredPhotograph]) -> tuple[Floats, Floats]:
    """Warmth (N,) of each picture by itself, NaN if it has none, and its confidence (N,)."""
    quantities = [picture.colour_temperature for picture in measured]
    warmth = [np.nan if q.value is None else warmth_from_mired(q.value.mired) for q in quantities]
    confidence = [q.confidence or 0.0 for q in quantities]
    return np.array(warmth, dtype=np.float64), np.array(confidence, dtype=np.float64)
