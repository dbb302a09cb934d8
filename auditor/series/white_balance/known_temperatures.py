"""The best known colour temperature of each picture: by itself, or through the set."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from auditor.measurements.colour_temperature import SPREAD_MIRED, TOLERANCE_MIRED
from auditor.measurements.measured_photograph import MeasuredPhotograph
from auditor.quantity import Quantity
from auditor.series.white_balance.set_temperatures import WELL_TIED_MIRED, SetTemperature


@dataclass(frozen=True, slots=True)
class KnownTemperature:
    """The best known colour temperature of one picture.

    Attributes
    ----------
    file : str
    mired : float
    confidence : float
        Probability that `mired` errs by at most `tolerance`.
    tolerance : float
        In mired.
    by_set : bool
        True if it is known through the set, False if from the picture alone.
    """

    file: str
    mired: float
    confidence: float
    tolerance: float
    by_set: bool

    @property
    def quantity(self) -> Quantity[float]:
        """The same as a measured value, in mired."""
        return Quantity.measured(
            self.mired,
            confidence=self.confidence,
            tolerance=self.tolerance,
            spread=SPREAD_MIRED,
        )


def known_temperatures(
    measured: Sequence[MeasuredPhotograph], temperatures: Mapping[str, SetTemperature]
) -> tuple[KnownTemperature, ...]:
    """Best known temperatures in the order of the set, without pictures of which nothing is known.

    The set decides for a picture that is well tied to others, and for a loosely tied one if the
    picture agrees: loosely tied pictures may only look similar, like two dishes of one colour on
    two tables. On rendered sets of one look, complete and with pictures left out, the value of the
    set was within the tolerance for 98 % of the well tied pictures, their own values for 96 %. Of
    the loosely tied pictures it was within the tolerance for all that agreed, and for 24 % of those
    that did not.
    """
    known = (_known(picture, temperatures.get(picture.file)) for picture in measured)
    return tuple(temperature for temperature in known if temperature is not None)


def _known(picture: MeasuredPhotograph, by_set: SetTemperature | None) -> KnownTemperature | None:
    own = picture.colour_temperature
    own_mired = None if own.value is None else own.value.mired
    confidence = own.confidence or 0.0
    if by_set is not None and _set_decides(by_set, own_mired):
        return KnownTemperature(
            picture.file, by_set.mired, by_set.group_confidence, TOLERANCE_MIRED, by_set=True
        )
    if own_mired is None or own.tolerance is None:
        return None
    return KnownTemperature(picture.file, own_mired, confidence, own.tolerance, by_set=False)


def _set_decides(by_set: SetTemperature, own_mired: float | None) -> bool:
    if not by_set.is_tied:
        return False
    agrees = own_mired is not None and abs(own_mired - by_set.mired) <= TOLERANCE_MIRED
    return by_set.tolerance <= WELL_TIED_MIRED or agrees


def compared_temperatures(
    temperatures: Mapping[str, SetTemperature], known: Sequence[KnownTemperature]
) -> dict[str, SetTemperature]:
    """The temperatures by which pictures are compared, by file: those that are known best.

    Charts, outliers and groups are made from these, so that a picture has one number everywhere. A
    tied picture that is known by itself alone contradicts what it is tied to: nothing is said of
    how it compares.
    """
    best = {one.file: one for one in known}
    return {
        file: replace(one, mired=best[file].mired)
        for file, one in temperatures.items()
        if file in best and (best[file].by_set or not one.is_tied)
    }
