"""The camera's settings over the set, in words."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass

from auditor.page.links import Link, link_to
from auditor.record.audit_record import CameraSettingRecord
from auditor.series.camera_settings import SETTING_RULES

TITLES = {
    "focal_length": "Focal length",
    "aperture": "Aperture",
    "exposure_time": "Shutter speed",
    "iso": "ISO",
}
TEXTS: dict[str, Callable[[float], str]] = {rule.name: rule.text for rule in SETTING_RULES}
MOST_LISTED = 3  # different values that are listed one by one; more are a range


@dataclass(frozen=True, slots=True)
class BrokenRankView:
    """A picture that stands out in a setting."""

    link: Link
    sentence: str


@dataclass(frozen=True, slots=True)
class SettingView:
    """One setting: what it is, what the set was shot at, and who stands out."""

    title: str
    summary: str
    breaking: tuple[BrokenRankView, ...]


def setting_view(
    setting: CameraSettingRecord, links: Mapping[str, Link], n_measured: int
) -> SettingView:
    """Make the page's data of one setting."""
    return SettingView(
        TITLES[setting.setting],
        summarise_setting(setting, n_measured),
        tuple(
            BrokenRankView(link_to(outlier.file, links), outlier.message)
            for outlier in setting.outliers
        ),
    )


def summarise_setting(setting: CameraSettingRecord, n_measured: int) -> str:
    """Say at what the set was shot: the usual value and how many pictures have it, and the rest."""
    text = TEXTS[setting.setting]
    values = [value for _, value in setting.values]
    n_said = "" if len(values) == n_measured else f" of {len(values)} that say it"
    different = sorted(set(values))
    if not different[1:]:
        whole = "all pictures" if not n_said else f"all{n_said}"
        return f"{text(different[0])} in {whole}"
    if len(different) <= MOST_LISTED:
        counts = [f"{text(value)} in {values.count(value)}" for value in different]
        return ", ".join(counts) + n_said
    usual, n_usual = text(setting.usual), values.count(setting.usual)
    ends = f"{text(different[0])} to {text(different[-1])}"
    return f"{ends}, middle {usual} ({n_usual} at it{n_said})"
