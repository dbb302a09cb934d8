"""The camera's settings over the set, and the picture that breaks rank in one of them.

A setting is told, not blamed: it explains what is seen, and a set may be shot at several on
purpose. What many pictures share is a decision, and where a setting varies from picture to picture
there is no rank to break.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from statistics import median_low

from auditor.measurements.measured_photograph import MeasuredPhotograph
from auditor.photograph.photograph import CameraSettings
from auditor.series.statistics.robust import centre_and_spread, outlier_threshold

LEAST_PICTURES = 5  # with fewer nobody can say which is the rule and which the exception
# Pictures beyond the limit, as a share of the set, from which they are a second way of shooting and
# not the exception; a single one always may be it. Common practice, no source.
MOST_BREAKING_SHARE = 0.1
LONG_EXPOSURE_S = 0.3  # from here cameras write seconds, below it fractions (common practice)


@dataclass(frozen=True, slots=True)
class SettingRule:
    """How one setting is followed, on a binary logarithmic scale.

    Attributes
    ----------
    name, unit : str
    read : callable
        In `unit`; None where the file does not say.
    stops_per_octave : float
        Stops for each doubling of the setting; 1 for focal length, whose "stop" is a doubling.
    noticeable : float
        Stops up to which nothing is told.
    least_spread : float
        Stops; no set is more even than a camera's steps.
    text : callable
        The setting as a camera shows it.
    higher, lower : str
        What is said, with ``{value}``, ``{usual}`` and ``{stops}`` in it.
    """

    name: str
    unit: str
    read: Callable[[CameraSettings], float | None]
    stops_per_octave: float
    noticeable: float
    least_spread: float
    text: Callable[[float], str]
    higher: str
    lower: str


@dataclass(frozen=True, slots=True)
class BrokenRank:
    """A picture that stands out in one setting.

    Attributes
    ----------
    file : str
    value : float
        In the setting's unit.
    stops : float
        Signed, from the rest of the set; doublings for focal length.
    message : str
    """

    file: str
    value: float
    stops: float
    message: str


@dataclass(frozen=True, slots=True)
class CameraSetting:
    """One setting over the set.

    Attributes
    ----------
    setting, unit : str
    usual : float
        The median, one of the values.
    values : tuple of (str, float)
        File and value of the pictures that say it.
    outliers : tuple of BrokenRank
    """

    setting: str
    unit: str
    usual: float
    values: tuple[tuple[str, float], ...]
    outliers: tuple[BrokenRank, ...]


def exposure_time_text(seconds: float) -> str:
    """A shutter speed as a camera shows it."""
    return f"{seconds:g} s" if seconds >= LONG_EXPOSURE_S else f"1/{1 / seconds:.0f} s"


# All thresholds are common practice without a source. One stop of aperture is seen in the depth of
# field (0.9: marked f-numbers are rounded); one stop of ISO is seldom seen, two are, in the noise;
# two stops of shutter speed tell frozen from blurred, and daylight drifts by one. Focal length: 0.4
# is 50 mm against 66 mm, another perspective, while 50 mm against 60 mm is a step forward.
SETTING_RULES = (
    SettingRule(
        "focal_length",
        "mm",
        lambda camera: camera.focal_length_mm,
        stops_per_octave=1,
        noticeable=0.4,
        least_spread=0.1,
        text=lambda mm: f"{mm:g} mm",
        higher="shot at {value}, the rest of the set around {usual}",
        lower="shot at {value}, the rest of the set around {usual}",
    ),
    SettingRule(
        "aperture",
        "f-number",
        lambda camera: camera.f_number,
        stops_per_octave=2,
        noticeable=0.9,
        least_spread=0.2,
        text=lambda number: f"f/{number:g}",
        higher="shot at {value}, {stops} smaller than the rest of the set ({usual})",
        lower="shot at {value}, {stops} wider than the rest of the set ({usual})",
    ),
    SettingRule(
        "exposure_time",
        "s",
        lambda camera: camera.exposure_time_s,
        stops_per_octave=1,
        noticeable=1.9,
        least_spread=0.4,
        text=exposure_time_text,
        higher="shot at {value}, {stops} longer than the rest of the set ({usual})",
        lower="shot at {value}, {stops} shorter than the rest of the set ({usual})",
    ),
    SettingRule(
        "iso",
        "ISO",
        lambda camera: camera.iso,
        stops_per_octave=1,
        noticeable=1.9,
        least_spread=0.4,
        text=lambda iso: f"ISO {iso:.0f}",
        higher="shot at {value}, {stops} above the rest of the set ({usual})",
        lower="shot at {value}, {stops} below the rest of the set ({usual})",
    ),
)


def follow_camera_settings(measured: Sequence[MeasuredPhotograph]) -> tuple[CameraSetting, ...]:
    """Follow each setting over the set; one that no file says is left out."""
    followed = (_follow(rule, measured) for rule in SETTING_RULES)
    return tuple(setting for setting in followed if setting is not None)


def _follow(rule: SettingRule, measured: Sequence[MeasuredPhotograph]) -> CameraSetting | None:
    read = [(picture.file, rule.read(picture.camera)) for picture in measured]
    values = tuple((file, float(value)) for file, value in read if value is not None and value > 0)
    if not values:
        return None
    usual = median_low(value for _, value in values)
    return CameraSetting(rule.name, rule.unit, usual, values, _breaking(rule, values))


def _breaking(rule: SettingRule, values: Sequence[tuple[str, float]]) -> tuple[BrokenRank, ...]:
    if len(values) < LEAST_PICTURES:
        return ()
    stops = {file: rule.stops_per_octave * math.log2(value) for file, value in values}
    centre, spread = centre_and_spread(list(stops.values()))
    threshold = outlier_threshold(len(stops), len(SETTING_RULES))
    limit = max(rule.noticeable, threshold * max(spread, rule.least_spread))
    beyond = {file for file, own in stops.items() if abs(own - centre) > limit}
    if len(beyond) > max(1, MOST_BREAKING_SHARE * len(values)):
        return ()
    usual = median_low(value for _, value in values)
    found = []
    for file, value in values:
        if file in beyond:
            away = stops[file] - centre
            found.append(BrokenRank(file, value, away, _said(rule, value, usual, away)))
    return tuple(found)


def _said(rule: SettingRule, value: float, usual: float, stops: float) -> str:
    sentence = rule.higher if stops > 0 else rule.lower
    amount = f"{abs(stops):.1f}".removesuffix(".0")
    unit = "stop" if amount == "1" else "stops"
    return sentence.format(value=rule.text(value), usual=rule.text(usual), stops=f"{amount} {unit}")
