"""The pictures as one set: what they share and which leave it."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence, Set
from dataclasses import dataclass, replace

from auditor.measurements.measured_photograph import MeasuredPhotograph
from auditor.series.camera_settings import CameraSetting, follow_camera_settings
from auditor.series.colour.contrast import follow_contrast
from auditor.series.colour.palettes import follow_palettes
from auditor.series.colour.saturation import follow_saturation
from auditor.series.duplicates import find_duplicates
from auditor.series.groups import Group, group_by_surface
from auditor.series.quantities import set_quantities
from auditor.series.statistics.outliers import SeriesQuantity, follow
from auditor.series.white_balance.changed_white import with_changed_white
from auditor.series.white_balance.known_temperatures import KnownTemperature, known_temperatures
from auditor.series.white_balance.set_temperatures import SetTemperature, set_temperatures
from auditor.series.white_balance.temperature_clusters import (
    SeriesTemperatureCluster,
    cluster_temperatures,
)

# A cast adds chroma to every grey.
CAST = {"colour_temperature", "tint"}
# What changes all colours of a picture at once.
EXPLAIN_COLOURS = {"colour_temperature", "tint", "exposure", "contrast", "saturation"}
# Colours and tones first, then what is where in the frame.
FIRST = ("colour_temperature", "tint", "exposure", "contrast", "saturation", "palette")


@dataclass(frozen=True, slots=True)
class Series:
    """What was found over the set."""

    quantities: tuple[SeriesQuantity, ...]
    colour_temperatures: tuple[KnownTemperature, ...]
    colour_temperature_clusters: tuple[SeriesTemperatureCluster, ...]
    duplicates: tuple[tuple[str, str], ...]
    groups: tuple[Group, ...]
    camera_settings: tuple[CameraSetting, ...]


def describe_series(measured: Sequence[MeasuredPhotograph]) -> Series:
    """Describe the set of pictures, in their order."""
    temperatures = set_temperatures(measured)
    known = known_temperatures(measured, temperatures)
    return Series(
        _quantities(measured, temperatures),
        known,
        cluster_temperatures(temperatures, {told.file: told.mired for told in known}),
        find_duplicates(measured),
        group_by_surface(measured),
        follow_camera_settings(measured),
    )


def _quantities(
    measured: Sequence[MeasuredPhotograph], temperatures: Mapping[str, SetTemperature]
) -> tuple[SeriesQuantity, ...]:
    white, *others = set_quantities(temperatures)
    found = [
        with_changed_white(white, follow(white, measured), measured),
        *(follow(quantity, measured) for quantity in others),
    ]
    by_name = {quantity.quantity: quantity for quantity in found}
    by_name["contrast"] = follow_contrast(measured)
    by_name["saturation"] = _without_cast(follow_saturation(measured), _told(found, CAST))
    by_name["palette"] = follow_palettes(measured, _told(by_name.values(), EXPLAIN_COLOURS))
    order = [*FIRST, *(name for name in by_name if name not in FIRST)]
    return tuple(by_name[name] for name in order)


def _told(quantities: Iterable[SeriesQuantity], names: Set[str]) -> set[str]:
    """Files of the pictures that leave the set in one of some quantities."""
    return {
        outlier.file
        for quantity in quantities
        if quantity.quantity in names
        for outlier in quantity.outliers
    }


def _without_cast(saturation: SeriesQuantity, cast: Set[str]) -> SeriesQuantity:
    """The same, where a picture that is told to be warmer or greener is not also more saturated."""
    kept = tuple(o for o in saturation.outliers if o.deviation < 0 or o.file not in cast)
    return replace(saturation, outliers=kept)
