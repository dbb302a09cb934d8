"""The set as the page shows it: charts, colours side by side, groups and near-duplicates."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from auditor.colorimetry import hex_from_lab
from auditor.page.drawing.dial_chart import DialChart, dial_chart
from auditor.page.drawing.dots import furthest
from auditor.page.drawing.palette_bar import Patch, palette_bar
from auditor.page.drawing.strip_chart import Strip, strip_chart, value_text
from auditor.page.links import Link, link_to
from auditor.page.settings_view import SettingView, setting_view
from auditor.record.audit_record import (
    AuditRecord,
    GroupRecord,
    SeriesQuantityRecord,
    SeriesRecord,
)
from auditor.record.picture_record import MeasuredImageRecord
from auditor.series.alike import Alike, alike_groups, same_file_words
from auditor.series.quantities import SET_QUANTITIES
from auditor.wording.lights_of_set import other_lights, unplaced_words
from auditor.wording.names import light_words, title
from auditor.wording.values import HEX_COLOUR, amount

BOARD_LENGTH = 100.0  # units of the drawing, which the page stretches
MOST_OUTLIERS = 5  # under a chart; the rest folds away
BOARD_GAP_SHARE = 0.06  # of a column's width: a hairline between pictures
# What is shot in several ways on purpose: where the middle is not where most pictures are, it says
# nothing, and this is said instead.
SEVERAL = {
    "camera_elevation": "Several angles",
    "light": "Several directions of light",
    "subject_size": "Several sizes",
}
# As near as this to the middle a picture counts as being there: what the set's comparison takes
# for ordinary variety, in each quantity's unit.
NEAR_MIDDLE = {quantity.name: quantity.noticeable for quantity in SET_QUANTITIES}
LEAST_NEAR_MIDDLE = 0.5  # share of the pictures: with fewer there "most" would be wrong
HOURS = 12.0


@dataclass(frozen=True, slots=True)
class OutlierView:
    """A picture that leaves the set, and how."""

    link: Link
    sentence: str


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
    lights: tuple[LightView, ...]


@dataclass(frozen=True, slots=True)
class LightView:
    """Pictures of the set in another light than most, how far they are off and what joins them."""

    links: tuple[Link, ...]
    sentence: str


@dataclass(frozen=True, slots=True)
class Column:
    """One picture on the board of colours: its palette from dark to light, and its lightness."""

    start: str
    length: str
    title: str
    palette: tuple[Patch, ...]
    grey: str


@dataclass(frozen=True, slots=True)
class GroupView:
    """Pictures that share something; `colour` is empty where that is no colour."""

    shared: str
    colour: str
    links: tuple[Link, ...]


@dataclass(frozen=True, slots=True)
class AlikeView:
    """Pictures that are nearly the same; `note` says so where they are one file."""

    links: tuple[Link, ...]
    note: str


@dataclass(frozen=True, slots=True)
class SeriesView:
    """The set."""

    quantities: tuple[QuantityView, ...]
    board: tuple[Column, ...]
    groups: tuple[GroupView, ...]
    duplicates: tuple[AlikeView, ...]
    settings: tuple[SettingView, ...]


def series_view(record: AuditRecord, links: Mapping[str, Link]) -> SeriesView:
    """Make the page's data of the set."""
    series = record.series
    numbers = {file: link.number for file, link in links.items()}
    measured = [image for image in record.images if isinstance(image, MeasuredImageRecord)]
    return SeriesView(
        tuple(
            _quantity(quantity, series, links, numbers, len(measured))
            for quantity in series.quantities
            if quantity.values
        ),
        _board(measured, links),
        tuple(_group(group, links) for group in series.groups),
        tuple(_alike(group, links) for group in alike_groups(record)),
        tuple(setting_view(setting, links, len(measured)) for setting in series.camera_settings),
    )


def _quantity(
    quantity: SeriesQuantityRecord,
    series: SeriesRecord,
    links: Mapping[str, Link],
    numbers: Mapping[str, int],
    n_measured: int,
) -> QuantityView:
    circular = quantity.unit == "h"
    is_temperature = quantity.quantity == "colour_temperature"
    summary = summarise(quantity, n_measured)
    if is_temperature and (open_ones := unplaced_words(series, len(quantity.values))):
        summary = f"{summary}; {open_ones}"
    own_clusters = series.colour_temperature_clusters if is_temperature else ()
    lights = other_lights(series) if is_temperature else ()
    told = {file for light in lights for file in light.files}
    outliers = tuple(
        OutlierView(link_to(outlier.file, links), outlier.message)
        for outlier in furthest(quantity)
        if outlier.file not in told
    )
    leave = f" Leaving the set: {len(quantity.outliers)}." if quantity.outliers else ""
    shown = without_middle(quantity) if is_several(quantity) else quantity
    return QuantityView(
        title(quantity.quantity),
        summary,
        f"{summary}{leave}",
        None if circular else strip_chart(shown, numbers, own_clusters),
        dial_chart(shown, numbers) if circular else None,
        outliers[:MOST_OUTLIERS],
        outliers[MOST_OUTLIERS:],
        tuple(
            LightView(
                tuple(link_to(file, links) for file in light.files),
                light.sentence(len(light.files)),
            )
            for light in lights
        ),
    )


def is_several(quantity: SeriesQuantityRecord) -> bool:
    """Whether a set was shot in several ways, so that its middle says nothing."""
    if quantity.quantity not in SEVERAL or quantity.centre is None:
        return False
    apart = [abs(value - quantity.centre) for _, value in quantity.values]
    if quantity.unit == "h":
        apart = [min(hours, HOURS - hours) for hours in apart]
    n_near = sum(distance <= NEAR_MIDDLE[quantity.quantity] for distance in apart)
    return n_near < LEAST_NEAR_MIDDLE * len(apart)


def without_middle(quantity: SeriesQuantityRecord) -> SeriesQuantityRecord:
    """The same without centre and spread, which are then not drawn."""
    return quantity.model_copy(update={"centre": None, "spread": None})


def summarise(quantity: SeriesQuantityRecord, n_measured: int) -> str:
    """Say where the set lies, how far it spreads and of how many pictures that is known."""
    n = len(quantity.values)
    known = f"all {n} pictures" if n == n_measured else f"{n} of {n_measured} pictures"
    if quantity.centre is None or quantity.spread is None:
        return f"{known}; too few to speak of a centre".capitalize()
    if is_several(quantity):
        return f"{_several(quantity)}; {known}"
    centre = value_text(quantity.centre, quantity)
    if quantity.unit == "h":
        return f"Middle {centre}, {light_words(quantity.centre)}; {known}"
    spread = (
        value_text(quantity.spread, quantity)
        if quantity.unit in {"deg", "fraction of frame"}
        else amount(quantity.spread, quantity.unit)
    )
    return f"Middle {centre}, spread {spread}; {known}"


def _several(quantity: SeriesQuantityRecord) -> str:
    if quantity.unit == "h":  # a dial has no lowest and highest value
        return SEVERAL[quantity.quantity]
    values = [value for _, value in quantity.values]
    low, high = value_text(min(values), quantity), value_text(max(values), quantity)
    return f"{SEVERAL[quantity.quantity]}, {low} to {high}"


def _alike(group: Alike, links: Mapping[str, Link]) -> AlikeView:
    note = same_file_words(len(group.files)).lower() if group.same_file else ""
    return AlikeView(tuple(link_to(file, links) for file in group.files), note)


def _board(
    measured: Sequence[MeasuredImageRecord], links: Mapping[str, Link]
) -> tuple[Column, ...]:
    pitch = BOARD_LENGTH / max(len(measured), 1)
    return tuple(
        Column(
            f"{place * pitch:.3f}",
            f"{pitch * (1 - BOARD_GAP_SHARE):.3f}",
            f"{links[image.file].number}: {links[image.file].name}",
            palette_bar(image.palette),
            hex_from_lab((image.tone.mean_lightness, 0.0, 0.0)),
        )
        for place, image in enumerate(measured)
    )


def _group(group: GroupRecord, links: Mapping[str, Link]) -> GroupView:
    colour = HEX_COLOUR.search(group.shared)
    return GroupView(
        group.shared[:1].upper() + group.shared[1:],
        colour.group() if colour else "",
        tuple(link_to(file, links) for file in group.files),
    )
