"""The set as the page shows it: charts, colours side by side, groups, near-duplicates, crops."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from auditor.colorimetry import hex_from_lab
from auditor.page.drawing.dial_chart import DialChart, dial_chart
from auditor.page.drawing.dots import furthest
from auditor.page.drawing.palette_bar import Patch, palette_bar
from auditor.page.drawing.strip_chart import Strip, strip_chart
from auditor.page.links import Link, link_to
from auditor.record.audit_record import AuditRecord
from auditor.record.picture_record import (
    MeasuredPictureRecord,
)
from auditor.record.series_records import (
    AlikeRecord,
    CameraSettingRecord,
    CropRecord,
    GroupRecord,
    SeriesQuantityRecord,
    SeriesRecord,
)
from auditor.wording.camera_settings import TITLES, setting_summary
from auditor.wording.findings import same_file_words
from auditor.wording.quantity_names import title
from auditor.wording.set_summary import (
    chart_description,
    is_charted,
    not_compared_words,
    of_largest_group,
    quantity_summary,
    set_value_text,
)
from auditor.wording.texts import capital

BOARD_LENGTH = 100.0  # units of the drawing, which the page stretches
MOST_OUTLIERS = 5  # under a chart; the rest folds away
BOARD_GAP_SHARE = 0.06  # of a column's width: a hairline between pictures
TEMPERATURE = "colour_temperature"


@dataclass(frozen=True, slots=True)
class OutlierView:
    """A picture that leaves the set, and how."""

    link: Link
    sentence: str


@dataclass(frozen=True, slots=True)
class GroupView:
    """Pictures that share something, in words; `colour` is empty where that is no colour."""

    shared: str
    colour: str
    links: tuple[Link, ...]


@dataclass(frozen=True, slots=True)
class QuantityView:
    """One quantity of the set: a strip or a dial, and who leaves it."""

    title: str
    summary: str
    description: str
    strip: Strip | None
    dial: DialChart | None
    outliers: tuple[OutlierView, ...]
    more_outliers: tuple[OutlierView, ...]
    farthest: OutlierView | None
    groups: tuple[GroupView, ...]


@dataclass(frozen=True, slots=True)
class Column:
    """One picture on the board of colours: its palette from dark to light, and its lightness."""

    start: str
    length: str
    title: str
    palette: tuple[Patch, ...]
    grey: str


@dataclass(frozen=True, slots=True)
class AlikeView:
    """Pictures that are nearly the same; `note` says so where they are one file."""

    links: tuple[Link, ...]
    note: str


@dataclass(frozen=True, slots=True)
class CropView:
    """A picture that was cropped, and how."""

    link: Link
    how: str


@dataclass(frozen=True, slots=True)
class WholeView:
    """A picture and its crops."""

    link: Link
    crops: tuple[CropView, ...]


@dataclass(frozen=True, slots=True)
class SettingView:
    """One camera setting: what it is, what the set was shot at, and who differs."""

    title: str
    summary: str
    outliers: tuple[OutlierView, ...]


@dataclass(frozen=True, slots=True)
class ValuesRow:
    """One quantity of a small set: its value in each picture, empty where it is not known."""

    title: str
    values: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class SideBySide:
    """The values of a small set, in place of charts."""

    links: tuple[Link, ...]
    rows: tuple[ValuesRow, ...]


@dataclass(frozen=True, slots=True)
class SetView:
    """The set; all is empty where the pictures are none. It has charts or `side_by_side`."""

    quantities: tuple[QuantityView, ...]
    board: tuple[Column, ...]
    groups: tuple[GroupView, ...]
    alike: tuple[AlikeView, ...]
    wholes: tuple[WholeView, ...]
    settings: tuple[SettingView, ...]
    side_by_side: SideBySide | None = None


NO_SET = SetView((), (), (), (), (), ())


NO_SET = SetView((), (), (), (), (), ())  # of pictures that are none


def set_view(record: AuditRecord, links: Mapping[str, Link]) -> SetView:
    """Make the page's data of the set."""
    if not record.has_set:
        return NO_SET
    series = record.series
    measured = [picture for picture in record.images if isinstance(picture, MeasuredPictureRecord)]
    return SetView(
        tuple(
            _quantity(quantity, record, links, len(measured))
            for quantity in series.quantities
            if quantity.values and is_charted(len(measured))
        ),
        _board(measured, links),
        tuple(_group(group, links) for group in series.groups),
        tuple(_alike(group, links) for group in series.alike),
        _wholes(series.crops, links),
        tuple(_setting(setting, links, len(measured)) for setting in series.camera_settings),
        None if is_charted(len(measured)) else _side_by_side(series, measured, links),
    )


def _side_by_side(
    series: SeriesRecord, measured: Sequence[MeasuredPictureRecord], links: Mapping[str, Link]
) -> SideBySide:
    rows = []
    for quantity in series.quantities:
        values = dict(quantity.values)
        texts = [
            set_value_text(values[picture.file], quantity) if picture.file in values else ""
            for picture in measured
        ]
        rows += [ValuesRow(title(quantity.quantity), tuple(texts))] if any(texts) else []
    return SideBySide(tuple(links[picture.file] for picture in measured), tuple(rows))


def _quantity(
    quantity: SeriesQuantityRecord,
    record: AuditRecord,
    links: Mapping[str, Link],
    n_measured: int,
) -> QuantityView:
    summary = _summary(quantity, record.series, n_measured)
    is_temperature = quantity.quantity == TEMPERATURE
    clusters = record.series.colour_temperature_clusters if is_temperature else []
    groups = [cluster for cluster in clusters if cluster.message]
    grouped = {file for cluster in groups for file in cluster.files}
    outliers = tuple(
        OutlierView(link_to(outlier.file, links), outlier.message)
        for outlier in furthest(quantity)
        if outlier.file not in grouped
    )
    far = quantity.farthest
    shown = without_middle(quantity) if quantity.is_several else quantity
    numbers = {file: link.number for file, link in links.items()}
    is_dial = quantity.unit == "h"
    return QuantityView(
        title(quantity.quantity),
        summary,
        chart_description(summary, quantity),
        None if is_dial else strip_chart(shown, numbers, clusters),
        dial_chart(shown, numbers) if is_dial else None,
        outliers[:MOST_OUTLIERS],
        outliers[MOST_OUTLIERS:],
        None if far is None else OutlierView(link_to(far.file, links), far.message),
        tuple(
            GroupView(cluster.message, "", tuple(link_to(file, links) for file in cluster.files))
            for cluster in groups
        ),
    )


def _summary(quantity: SeriesQuantityRecord, series: SeriesRecord, n_measured: int) -> str:
    summary = quantity_summary(quantity, n_measured)
    if quantity.quantity != TEMPERATURE:
        return summary
    summary = of_largest_group(summary, series)
    rest = not_compared_words(series, len(quantity.values))
    return "; ".join(part for part in (summary, rest) if part)


def without_middle(quantity: SeriesQuantityRecord) -> SeriesQuantityRecord:
    """The same without centre and spread, which are then not drawn."""
    return quantity.model_copy(update={"centre": None, "spread": None})


def _board(
    measured: Sequence[MeasuredPictureRecord], links: Mapping[str, Link]
) -> tuple[Column, ...]:
    pitch = BOARD_LENGTH / max(len(measured), 1)
    return tuple(
        Column(
            f"{place * pitch:.3f}",
            f"{pitch * (1 - BOARD_GAP_SHARE):.3f}",
            f"{links[picture.file].number}: {links[picture.file].name}",
            palette_bar(picture.palette),
            hex_from_lab((picture.tone.mean_lightness, 0.0, 0.0)),
        )
        for place, picture in enumerate(measured)
    )


def _group(group: GroupRecord, links: Mapping[str, Link]) -> GroupView:
    named = tuple(link_to(file, links) for file in group.files)
    return GroupView(capital(group.shared), group.surface, named)


def _alike(group: AlikeRecord, links: Mapping[str, Link]) -> AlikeView:
    note = same_file_words(len(group.files)) if group.same_file else ""
    return AlikeView(tuple(link_to(file, links) for file in group.files), note)


def _wholes(crops: Sequence[CropRecord], links: Mapping[str, Link]) -> tuple[WholeView, ...]:
    """Each picture that has crops, with all of them."""
    crops_of: dict[str, list[CropView]] = {}
    for crop in crops:
        view = CropView(link_to(crop.crop, links), crop.message)
        crops_of.setdefault(crop.whole, []).append(view)
    return tuple(
        WholeView(link_to(whole, links), tuple(views)) for whole, views in crops_of.items()
    )


def _setting(
    setting: CameraSettingRecord, links: Mapping[str, Link], n_measured: int
) -> SettingView:
    return SettingView(
        TITLES[setting.setting],
        setting_summary(setting, n_measured),
        tuple(
            OutlierView(link_to(outlier.file, links), outlier.message)
            for outlier in setting.outliers
        ),
    )
