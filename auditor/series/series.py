"""The pictures as one set: what they share, and which of them differ from the rest."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence, Set
from dataclasses import dataclass, replace

from auditor.measurements.measured_photograph import MeasuredPhotograph
from auditor.series.alike import AlikePictures, join_alike
from auditor.series.camera_settings import CameraSetting, follow_camera_settings
from auditor.series.colour.contrast import follow_contrast
from auditor.series.colour.palettes import follow_palettes
from auditor.series.colour.saturation import follow_saturation
from auditor.series.colour.tied_pictures import TiedPictures, tie_pictures
from auditor.series.crops import CroppedPicture, find_crops
from auditor.series.duplicates import find_duplicates
from auditor.series.groups import Group, group_by_surface
from auditor.series.set_readings import SET_QUANTITIES, exposure, white_balance
from auditor.series.shared_exposure import shared_exposures
from auditor.series.statistics.outliers import follow
from auditor.series.statistics.series_quantity import SeriesQuantity
from auditor.series.white_balance.changed_white import with_changed_white
from auditor.series.white_balance.known_temperatures import (
    KnownTemperature,
    compared_temperatures,
    known_temperatures,
)
from auditor.series.white_balance.set_temperatures import SetTemperature, set_temperatures
from auditor.series.white_balance.temperature_clusters import (
    SeriesTemperatureCluster,
    centred_on_largest,
    cluster_temperatures,
)

# Outliers in these have a colour cast, which adds chroma to every grey.
CAST = {"colour_temperature", "tint"}
# Outliers in these have all their colours changed at once.
EXPLAIN_COLOURS = {"colour_temperature", "tint", "exposure", "contrast", "saturation"}
# Colours and tones come first, then the composition.
FIRST = ("colour_temperature", "tint", "exposure", "contrast", "saturation", "palette")


@dataclass(frozen=True, slots=True)
class Series:
    """What is found over the set."""

    quantities: tuple[SeriesQuantity, ...]
    colour_temperatures: tuple[KnownTemperature, ...]
    colour_temperature_clusters: tuple[SeriesTemperatureCluster, ...]
    duplicates: tuple[tuple[str, str], ...]
    alike: tuple[AlikePictures, ...]
    crops: tuple[CroppedPicture, ...]
    groups: tuple[Group, ...]
    camera_settings: tuple[CameraSetting, ...]


def describe_series(measured: Sequence[MeasuredPhotograph], *, is_set: bool = True) -> Series:
    """Describe the set of pictures, in their order.

    Parameters
    ----------
    measured : sequence of MeasuredPhotograph
    is_set : bool
        False for pictures of no one set. Of these nothing is said about which of them differ, and
        each is not compared with all others together, which takes long.
    """
    tied = tie_pictures(measured)
    temperatures = set_temperatures(measured, tied)
    known = known_temperatures(measured, temperatures)
    compared = compared_temperatures(temperatures, known)
    clusters = cluster_temperatures(compared)
    duplicates = find_duplicates(measured)
    alike = join_alike(measured, duplicates)
    return Series(
        _quantities(measured, compared, clusters, tied, is_set=is_set),
        known,
        clusters,
        duplicates,
        alike,
        find_crops(measured, alike),
        group_by_surface(measured),
        follow_camera_settings(measured),
    )


def _quantities(
    measured: Sequence[MeasuredPhotograph],
    temperatures: Mapping[str, SetTemperature],
    clusters: Sequence[SeriesTemperatureCluster],
    tied: TiedPictures,
    *,
    is_set: bool,
) -> tuple[SeriesQuantity, ...]:
    white = white_balance(temperatures)
    of_white = follow(white, measured)
    if is_set:
        of_white = with_changed_white(white, of_white, measured)
    found = [
        centred_on_largest(of_white, clusters),
        follow(exposure(shared_exposures(measured, tied)), measured),
        *(follow(quantity, measured) for quantity in SET_QUANTITIES),
    ]
    by_name = {quantity.quantity: quantity for quantity in found}
    by_name["contrast"] = follow_contrast(measured)
    saturation = follow_saturation(measured, finds_outliers=is_set)
    by_name["saturation"] = _without_cast(saturation, _outlier_files(found, CAST))
    explained = _outlier_files(by_name.values(), EXPLAIN_COLOURS)
    by_name["palette"] = follow_palettes(measured, explained)
    order = [*FIRST, *(name for name in by_name if name not in FIRST)]
    return tuple(by_name[name] for name in order)


def _outlier_files(quantities: Iterable[SeriesQuantity], names: Set[str]) -> set[str]:
    """Files of the pictures that are outliers in one of the named quantities."""
    return {
        outlier.file
        for quantity in quantities
        if quantity.quantity in names
        for outlier in quantity.outliers
    }


def _without_cast(saturation: SeriesQuantity, cast: Set[str]) -> SeriesQuantity:
    """Saturation without the outliers above the set that have a colour cast.

    The cast itself adds the chroma, and is reported already.
    """
    kept = tuple(o for o in saturation.outliers if o.deviation < 0 or o.file not in cast)
    return replace(saturation, outliers=kept)
