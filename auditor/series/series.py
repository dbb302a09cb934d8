"""The pictures as one set: what they share, and which of them differ from the rest."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence, Set
from dataclasses import dataclass, replace
from functools import cached_property

from auditor.measurements.measured_photograph import MeasuredPhotograph
from auditor.progress_calls import Progress, part_of, silent
from auditor.quantities.set_rules import LEAST_PICTURES_FOR_OUTLIERS
from auditor.series.alike import AlikePictures, join_alike
from auditor.series.camera_settings import CameraSetting, follow_camera_settings
from auditor.series.colour.compared_pairs import ComparedSet
from auditor.series.colour.contrast import follow_contrast
from auditor.series.colour.leave_one_out import FoundChanges, changes_of_saturation
from auditor.series.colour.palettes import ComparedPalettes, compare_palettes, follow_palettes
from auditor.series.colour.saturation import follow_saturation
from auditor.series.colour.tied_pictures import TiedPictures, tie_pictures
from auditor.series.crops import CroppedPicture, find_crops
from auditor.series.duplicates import find_duplicates
from auditor.series.groups import Group, group_by_surface
from auditor.series.set_readings import SET_QUANTITIES, exposure, white_balance
from auditor.series.shared_exposure import shared_exposures
from auditor.series.statistics.outliers import follow
from auditor.series.statistics.series_quantity import Outlier, SeriesQuantity
from auditor.series.white_balance.changed_white import with_changed_white
from auditor.series.white_balance.known_temperatures import (
    KnownTemperature,
    compared_temperatures,
    known_temperatures,
)
from auditor.series.white_balance.set_temperatures import set_temperatures
from auditor.series.white_balance.temperature_clusters import (
    SeriesTemperatureCluster,
    centred_on_largest,
    cluster_temperatures,
)

# Shares of the time that comparing the pairs takes, and all that colours say (measured on 1000 and
# 3000 pictures); the rest are near-duplicates, crops and groups.
SHARE_OF_PAIRS, SHARE_OF_COLOURS = 0.4, 0.75
# Outliers in these have a colour cast, which adds chroma to every grey.
CAST = {"colour_temperature", "tint"}
# Outliers in these have all their colours changed at once.
EXPLAIN_COLOURS = {"colour_temperature", "tint", "exposure", "contrast", "saturation"}
# Colours and tones come first, then the composition.
FIRST = ("colour_temperature", "tint", "exposure", "contrast", "saturation", "palette")


@dataclass(frozen=True)
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

    @cached_property
    def outliers_of(self) -> Mapping[str, Mapping[str, Outlier]]:
        """By file, then by quantity, in what each picture is an outlier."""
        found: dict[str, dict[str, Outlier]] = {}
        for quantity in self.quantities:
            for outlier in quantity.outliers:
                found.setdefault(outlier.file, {})[quantity.quantity] = outlier
        return found

    @cached_property
    def temperature_of(self) -> Mapping[str, KnownTemperature]:
        """The colour temperature of each picture, by file, where it is known."""
        return {known.file: known for known in self.colour_temperatures}


@dataclass(frozen=True, slots=True)
class DescribedSet:
    """A set as it is, with what it takes to describe it again when pictures were changed.

    Attributes
    ----------
    series : Series
    pairs : ComparedSet
    white, saturation : FoundChanges or None
        What the colours alone say; None where the set is too small.
    palettes : ComparedPalettes or None
        None where there are too few.
    """

    series: Series
    pairs: ComparedSet
    white: FoundChanges | None
    saturation: FoundChanges | None
    palettes: ComparedPalettes | None


def describe_series(
    measured: Sequence[MeasuredPhotograph], progress: Progress = silent, *, is_set: bool = True
) -> Series:
    """Describe the set of pictures, in their order; the rest is as in `describe_set`."""
    return describe_set(measured, progress, is_set=is_set).series


def describe_set(
    measured: Sequence[MeasuredPhotograph], progress: Progress = silent, *, is_set: bool = True
) -> DescribedSet:
    """Describe the set of pictures, so that it can be described again with some of them changed.

    Parameters
    ----------
    measured : sequence of MeasuredPhotograph
    progress : callable
        Called at most once for each picture, with how far it is.
    is_set : bool
        False for pictures of no one set. Of these nothing is said about which of them differ, and
        each is not compared with all others together, which takes long.
    """
    described = _described(measured, None, progress, is_set=is_set)
    duplicates = find_duplicates(measured)
    alike = join_alike(measured, duplicates)
    series = replace(
        described.series,
        duplicates=duplicates,
        alike=alike,
        crops=find_crops(measured, alike),
        groups=group_by_surface(measured),
        camera_settings=follow_camera_settings(measured),
    )
    progress(len(measured), len(measured), "")
    return replace(described, series=series)


def describe_changed(earlier: DescribedSet, measured: Sequence[MeasuredPhotograph]) -> Series:
    """Describe a set again in which some pictures were changed.

    What is followed over the set, and colour temperatures, are as `describe_series` finds them. In
    a set of more than `ALL_AGAIN_UP_TO` pictures what is found of a picture's colours by those of
    all others is taken over for the pictures that were not changed: what is computed anew grows
    with the number of changed pictures. Near-duplicates, crops, groups and camera settings are
    those of the set as it was.

    Parameters
    ----------
    earlier : DescribedSet
    measured : sequence of MeasuredPhotograph
        As many, in the same order; each with the file that it had.
    """
    found = _described(measured, earlier, silent).series
    return replace(
        earlier.series,
        quantities=found.quantities,
        colour_temperatures=found.colour_temperatures,
        colour_temperature_clusters=found.colour_temperature_clusters,
    )


def _described(
    measured: Sequence[MeasuredPhotograph],
    earlier: DescribedSet | None,
    progress: Progress,
    *,
    is_set: bool = True,
) -> DescribedSet:
    """What a correction can change; the rest of the series is left empty."""
    n = len(measured)
    of_pairs, of_white, of_saturation = (
        part_of(progress, n, *shares)
        for shares in ((0.0, SHARE_OF_PAIRS), (SHARE_OF_PAIRS, 0.5), (0.5, SHARE_OF_COLOURS))
    )
    tied = tie_pictures(measured, None if earlier is None else earlier.pairs, of_pairs)
    temperatures = set_temperatures(measured, tied)
    known = known_temperatures(measured, temperatures)
    compared = compared_temperatures(temperatures, known)
    clusters = cluster_temperatures(compared)
    white = white_balance(compared)
    by_white, white_changes, saturation = follow(white, measured), None, None
    if is_set:
        by_white, white_changes = with_changed_white(
            white, by_white, measured, None if earlier is None else earlier.white, of_white
        )
    if is_set and n >= LEAST_PICTURES_FOR_OUTLIERS:
        saturation = changes_of_saturation(
            [picture.colours for picture in measured],
            None if earlier is None else earlier.saturation,
            of_saturation,
        )
    palettes = compare_palettes(measured, None if earlier is None else earlier.palettes)
    quantities = _quantities(
        measured,
        centred_on_largest(by_white, clusters),
        tied,
        follow_saturation(measured, saturation, finds_outliers=is_set),
        palettes,
    )
    series = Series(quantities, known, clusters, (), (), (), (), ())
    return DescribedSet(series, tied.compared, white_changes, saturation, palettes)


def _quantities(
    measured: Sequence[MeasuredPhotograph],
    white: SeriesQuantity,
    tied: TiedPictures,
    saturation: SeriesQuantity,
    palettes: ComparedPalettes | None,
) -> tuple[SeriesQuantity, ...]:
    found = [
        white,
        follow(exposure(shared_exposures(measured, tied)), measured),
        *(follow(quantity, measured) for quantity in SET_QUANTITIES),
    ]
    by_name = {quantity.quantity: quantity for quantity in found}
    by_name["contrast"] = follow_contrast(measured)
    by_name["saturation"] = _without_cast(saturation, _outlier_files(found, CAST))
    explained = _outlier_files(by_name.values(), EXPLAIN_COLOURS)
    by_name["palette"] = follow_palettes(measured, explained, palettes)
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
