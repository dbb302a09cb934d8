"""The record: the models that write ``audit.json`` and its JSON Schema.

Names and meanings are what other programs rely on; they may grow, none changes its meaning
without a new `SCHEMA_VERSION`.
"""

from __future__ import annotations

from typing import Literal

from pydantic import Field

from auditor.record.picture_record import ImageRecord, Record, Verdict

SCHEMA_VERSION = 1


class ShotRecord(Record):
    """A planned shot and its pictures."""

    name: str
    files: list[str]
    missing: bool


class OutlierRecord(Record):
    """A picture that leaves the set in one quantity."""

    file: str
    value: float
    deviation: float
    message: str


class SeriesQuantityRecord(Record):
    """One quantity over the set."""

    quantity: str
    unit: str
    centre: float | None
    spread: float | None
    values: list[tuple[str, float]]
    outliers: list[OutlierRecord]


class SeriesTemperatureClusterRecord(Record):
    """Pictures of about the same colour temperature.

    `shift_mired` makes them as warm as the first, the largest cluster; positive warms them.
    """

    cct_k: float
    mired: float
    files: list[str]
    shift_mired: float = 0.0


class GroupRecord(Record):
    """Pictures that share something."""

    files: list[str]
    shared: str


class BrokenRankRecord(Record):
    """A picture that stands out in one camera setting; doublings for focal length, else stops."""

    file: str
    value: float
    stops: float
    message: str


class CameraSettingRecord(Record):
    """One camera setting over the set; `usual` is the median of the values."""

    setting: Literal["focal_length", "aperture", "exposure_time", "iso"]
    unit: str
    usual: float
    values: list[tuple[str, float]]
    outliers: list[BrokenRankRecord]


class SeriesRecord(Record):
    """What was found over the set."""

    quantities: list[SeriesQuantityRecord]
    colour_temperature_clusters: list[SeriesTemperatureClusterRecord]
    duplicates: list[tuple[str, str]]
    groups: list[GroupRecord]
    camera_settings: list[CameraSettingRecord] = Field(default_factory=list)


class DeliveryRecord(Record):
    """One rule of a hand-over."""

    rule: str
    file: str | None
    verdict: Verdict
    message: str


class WarningRecord(Record):
    """Something that the photographer should know before handing over.

    `file` is a picture's path; with ``unreadable_folder`` it is a folder's.
    """

    code: Literal["location", "unreadable_folder", "unplanned", "claimed_twice"]
    file: str
    message: str


class AuditRecord(Record):
    """A whole audit."""

    schema_version: Literal[1]
    auditor_version: str
    created: str
    libraries: dict[str, str]
    folder: str
    plan: str | None
    title: str | None
    images: list[ImageRecord]
    shots: list[ShotRecord]
    series: SeriesRecord
    delivery: list[DeliveryRecord] | None
    warnings: list[WarningRecord]
