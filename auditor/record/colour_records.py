"""The models of a picture's colours and tones in the record."""

from __future__ import annotations

from typing import Literal

from pydantic import Field

from auditor.record.base import (
    Estimated,
    Fraction,
    HexColour,
    LabColour,
    Position,
    Record,
    Rectangle,
)


class SwatchRecord(Record):
    """A colour with its share of the frame."""

    hex: HexColour
    lab: LabColour
    share: Fraction


class PaletteRecord(SwatchRecord):
    """A colour with the nearest named colour of CSS, and its CIEDE2000 distance from that."""

    name: str | None = None
    name_distance: float | None = None


class EchoPlaceRecord(Record):
    """A place where the subject's main colour returns."""

    centroid: Position
    bbox: Rectangle
    share: Fraction


class EchoRecord(Record):
    """The subject's main colour elsewhere in the frame; as sure as the subject.

    `share` is 0 and `places` is empty where it does not return.
    """

    hex: HexColour
    lab: LabColour
    name: str
    name_distance: float
    share: Fraction
    places: list[EchoPlaceRecord]
    confidence: Fraction | None


class SaturationRecord(Record):
    """CIELAB chroma C* over the frame: its mean, its median and its 90th percentile."""

    mean_chroma: float
    median_chroma: float
    high_chroma: float


class GroundRecord(Estimated):
    """Colour of the background or the surface; tolerance in CIEDE2000."""

    hex: HexColour
    lab: LabColour
    share: Fraction


class ClippedRegionRecord(Record):
    """A place where pixels are clipped; `share` is that of the frame which it covers."""

    kind: Literal["highlights", "shadows"]
    bbox: Rectangle
    share: Fraction


class ClippingRecord(Record):
    """Share of the frame at the end of the range, of red, green and blue, and where it lies."""

    highlights: tuple[Fraction, Fraction, Fraction]
    shadows: tuple[Fraction, Fraction, Fraction]
    regions: list[ClippedRegionRecord]


class ToneRecord(Record):
    """Tone."""

    mean_lightness: float
    contrast: float
    exposure_ev: float
    clipped_highlights: Fraction
    clipped_shadows: Fraction
    midtone_contrast: float | None = None
    midtone_ev: float | None = None
    key: Literal["high", "middle", "low"] | None = None
    clipping: ClippingRecord | None = None


class SubjectToneRecord(Record):
    """The subject's tone, against what surrounds it; as sure as the subject.

    Lightness and texture are CIELAB L*, the colour difference CIEDE2000.
    """

    lightness: float
    lightness_difference: float
    colour_difference: float
    texture: float
    confidence: Fraction | None


class TemperatureClusterRecord(Record):
    """One light of a mixed picture."""

    cct_k: float
    duv: float
    share: Fraction


class ColourTemperatureRecord(Estimated):
    """Colour temperature of the neutrals, as it is known best; tolerance in mired.

    `source` says whether it is known from the picture alone or by what it shares with others of the
    set; `duv` is always the picture's own. There is no other value: charts, groups, outliers,
    verdicts and advice go by this one.

    Under mixed light `light_map` draws where each of `clusters` falls: rows from the top, in each
    place the index of the cluster, or a point where things cover the area or it shows no colour.
    """

    cct_k: float | None
    duv: float | None
    mired: float | None
    clusters: list[TemperatureClusterRecord]
    light_map: list[str] = Field(default_factory=list)
    source: Literal["picture", "set"] | None = None


class KnownTemperatureRecord(Record):
    """The same as `ColourTemperatureRecord` in fewer fields, for programs that read it here."""

    mired: float
    confidence: Fraction
    tolerance: float
    by_set: bool
