"""Describe pictures of no one set, without what only holds for a set."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from auditor.measurements.measured_photograph import MeasuredPhotograph
from auditor.series.series import Series, describe_series
from auditor.series.white_balance.known_temperatures import known_temperatures


def describe_no_set(measured: Sequence[MeasuredPhotograph]) -> Series:
    """Describe pictures of no one set: what each is, and which are the same picture.

    There is no centre, no spread, no outlier, no group of another colour temperature, no unusual
    camera setting, and no colour temperature that is known through other pictures. Values, pictures
    that are nearly the same, crops and shared surfaces stay.
    """
    series = describe_series(measured)
    return replace(
        series,
        quantities=tuple(
            replace(
                quantity, centre=None, spread=None, outliers=(), is_several=False, farthest=None
            )
            for quantity in series.quantities
        ),
        colour_temperatures=known_temperatures(measured, {}),
        colour_temperature_clusters=(),
        camera_settings=tuple(replace(setting, outliers=()) for setting in series.camera_settings),
    )
