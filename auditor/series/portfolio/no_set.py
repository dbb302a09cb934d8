"""Describe pictures of no one set, without what only holds for a set."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from auditor.measurements.measured_photograph import MeasuredPhotograph
from auditor.progress_calls import Progress, silent
from auditor.series.series import Series, describe_series
from auditor.series.statistics.series_quantity import SeriesQuantity
from auditor.series.white_balance.known_temperatures import (
    KnownTemperature,
    known_temperatures,
)


def describe_no_set(measured: Sequence[MeasuredPhotograph], progress: Progress = silent) -> Series:
    """Describe pictures of no one set: what each is, and which are the same picture.

    There is no centre, no spread, no outlier, no group of another colour temperature, no unusual
    camera setting, and no colour temperature that is known through other pictures. Values, pictures
    that are nearly the same, crops and shared surfaces stay.
    """
    series = describe_series(measured, progress, is_set=False)
    alone = known_temperatures(measured, {})
    return replace(
        series,
        quantities=tuple(
            replace(
                quantity,
                values=_values(quantity, alone),
                centre=None,
                spread=None,
                outliers=(),
                is_several=False,
                farthest=None,
            )
            for quantity in series.quantities
        ),
        colour_temperatures=alone,
        colour_temperature_clusters=(),
        camera_settings=tuple(replace(setting, outliers=()) for setting in series.camera_settings),
    )


def describe_changed_no_set(earlier: Series, measured: Sequence[MeasuredPhotograph]) -> Series:
    """Describe pictures of no one set again after some were changed: each by itself.

    Only what a correction changes is described anew: the colour temperatures.

    Parameters
    ----------
    earlier : Series
        From `describe_no_set`.
    measured : sequence of MeasuredPhotograph
        As many, in the same order.
    """
    return replace(earlier, colour_temperatures=known_temperatures(measured, {}))


def _values(
    quantity: SeriesQuantity, alone: Sequence[KnownTemperature]
) -> tuple[tuple[str, float], ...]:
    """Of the colour temperature those of the pictures alone, as each picture states its own."""
    if quantity.quantity != "colour_temperature":
        return quantity.values
    return tuple((known.file, known.mired) for known in alone)
