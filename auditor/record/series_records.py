"""The models of the set in the record."""

from __future__ import annotations

from typing import Literal

from pydantic import Field

from auditor.record.base import HexColour, QuantityName, Record, Rectangle
from auditor.record.colour_records import SwatchRecord


class ForeignColoursRecord(Record):
    """The colours of a picture that no other picture of the set has.

    `weight` is the sum over these colours of share times CIEDE2000 beyond a shade of the nearest
    colour elsewhere; `share` is theirs of the frame; `is_whole_picture` says that the picture as a
    whole differs, rather than one thing in it.
    """

    weight: float
    share: float
    strongest: SwatchRecord
    is_whole_picture: bool


class OutlierRecord(Record):
    """A picture that leaves the set in one quantity.

    `deviation` is from the centre, in the quantity's unit. `ratio` (contrast, saturation) is how
    many times as much the picture has as it would have without the change; `foreign` is for the
    palette.
    """

    file: str
    value: float
    deviation: float
    ratio: float | None = None
    foreign: ForeignColoursRecord | None = None
    message: str = ""


class SeriesQuantityRecord(Record):
    """One quantity over the set.

    `farthest` is, where no picture leaves the set, the one that is noticeably farthest from its
    centre. `is_several` says that the set was shot in several ways, so that the centre says little.
    """

    quantity: QuantityName
    unit: str
    centre: float | None
    spread: float | None
    is_several: bool = False
    values: list[tuple[str, float]]
    outliers: list[OutlierRecord]
    farthest: OutlierRecord | None = None


class SetTemperatureClusterRecord(Record):
    """Pictures of about the same colour temperature.

    `shift_mired` makes them as warm as the first, the largest cluster; positive warms them. The
    message says so of all but the largest.
    """

    cct_k: float
    mired: float
    files: list[str]
    shift_mired: float = 0.0
    message: str = ""


class GroupRecord(Record):
    """Pictures that stand on the same surface: its colour, and the same in words."""

    files: list[str]
    surface: HexColour
    shared: str = ""


class AlikeRecord(Record):
    """Pictures that are nearly the same, or copies of one file."""

    files: list[str]
    same_file: bool


class CropRecord(Record):
    """Two pictures that show one photograph in two framings; `whole` shows more of it.

    `box` is what both show in the frame of the whole, [left, top, right, bottom] in fractions;
    `crop_box` is the same in the frame of the crop: all of it, unless each picture shows something
    that the other does not. Pictures that are nearly the same stand in `alike`, not here.
    `message` says how the crop was cropped.
    """

    whole: str
    crop: str
    box: Rectangle
    crop_box: Rectangle
    message: str = ""


class SettingOutlierRecord(Record):
    """A picture that differs from the set in one camera setting, by doublings or by stops."""

    file: str
    value: float
    stops: float
    message: str = ""


class CameraSettingRecord(Record):
    """One camera setting over the set; `usual` is the median of the values."""

    setting: Literal["focal_length", "aperture", "exposure_time", "iso"]
    unit: str
    usual: float
    values: list[tuple[str, float]]
    outliers: list[SettingOutlierRecord]


class SeriesRecord(Record):
    """What was found over the set."""

    quantities: list[SeriesQuantityRecord]
    colour_temperature_clusters: list[SetTemperatureClusterRecord]
    duplicates: list[tuple[str, str]]
    alike: list[AlikeRecord] = Field(default_factory=list)
    crops: list[CropRecord] = Field(default_factory=list)
    groups: list[GroupRecord]
    camera_settings: list[CameraSettingRecord] = Field(default_factory=list)
