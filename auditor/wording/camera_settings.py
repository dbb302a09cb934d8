"""Camera settings in words: of one picture, over the set, and the pictures that differ."""

from __future__ import annotations

from collections.abc import Callable

from auditor.record.picture_record import (
    CameraRecord,
)
from auditor.record.series_records import CameraSettingRecord, SettingOutlierRecord
from auditor.safe_text import one_line
from auditor.wording.texts import moment

TITLES = {
    "focal_length": "Focal length",
    "aperture": "Aperture",
    "exposure_time": "Shutter speed",
    "iso": "ISO",
}
LONG_EXPOSURE_S = 0.3  # from here cameras write seconds, below it fractions (common practice)
MOST_LISTED = 3  # different values that are listed one by one; more are a range
# What is said of a picture above and below the rest of the set.
COMPARATIVES = {
    "aperture": ("smaller than", "wider than"),
    "exposure_time": ("longer than", "shorter than"),
    "iso": ("above", "below"),
}


def exposure_time_text(seconds: float) -> str:
    """Write a shutter speed as a camera shows it."""
    return f"{seconds:g} s" if seconds >= LONG_EXPOSURE_S else f"1/{1 / seconds:.0f} s"


TEXTS: dict[str, Callable[[float], str]] = {
    "focal_length": lambda mm: f"{mm:g} mm",
    "aperture": lambda number: f"f/{number:g}",
    "exposure_time": exposure_time_text,
    "iso": lambda iso: f"ISO {iso:.0f}",
}


def capture_line(camera: CameraRecord) -> str:
    """How the picture was taken, as photographers write it."""
    body = " ".join(text for text in (camera.make, camera.model) if text)
    settings = {
        "focal_length": camera.focal_length_mm,
        "aperture": camera.f_number,
        "exposure_time": camera.exposure_time_s,
        "iso": camera.iso,
    }
    parts = [
        one_line(body),
        one_line(camera.lens or ""),
        *(TEXTS[name](value) for name, value in settings.items() if value),
        moment(camera.taken),
    ]
    return " · ".join(part for part in parts if part)


def setting_outlier_words(outlier: SettingOutlierRecord, setting: CameraSettingRecord) -> str:
    """Say how a picture differs from the set in one setting."""
    text = TEXTS[setting.setting]
    value, usual = text(outlier.value), text(setting.usual)
    if setting.setting not in COMPARATIVES:
        return f"shot at {value}, the rest of the set around {usual}"
    above, below = COMPARATIVES[setting.setting]
    stops = f"{abs(outlier.stops):.1f}".removesuffix(".0")
    unit = "stop" if stops == "1" else "stops"
    comparative = above if outlier.stops > 0 else below
    return f"shot at {value}, {stops} {unit} {comparative} the rest of the set ({usual})"


def setting_summary(setting: CameraSettingRecord, n_measured: int) -> str:
    """Say at what the set was shot: the usual value and how many pictures have it, and the rest."""
    text = TEXTS[setting.setting]
    values = [value for _, value in setting.values]
    is_all = len(values) == n_measured
    state = "states" if len(values) == 1 else "state"
    of_known = "" if is_all else f" of {len(values)} that {state} it"
    different = sorted(set(values))
    if len(different) == 1:
        return f"{text(different[0])} in {'all pictures' if is_all else f'all{of_known}'}"
    if len(different) <= MOST_LISTED:
        counts = [f"{text(value)} in {values.count(value)}" for value in different]
        return ", ".join(counts) + of_known
    usual, n_usual = text(setting.usual), values.count(setting.usual)
    ends = f"{text(different[0])} to {text(different[-1])}"
    pictures = of_known or (" picture" if n_usual == 1 else " pictures")
    return f"{ends}, median {usual}, in {n_usual}{pictures}"
