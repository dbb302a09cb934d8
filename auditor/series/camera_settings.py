"""The settings of the camera over the set, and the pictures that differ from the rest in one.

An unusual setting is no fault: it explains what is seen, and a set may be shot with several on
purpose. A value that many pictures share is a decision. If a setting varies from picture to
picture, no picture is an outlier in it.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from statistics import median_low

from auditor.measurements.measured_photograph import MeasuredPhotograph
from auditor.photograph.photograph import CameraSettings
from auditor.quantities.set_rules import LEAST_PICTURES_FOR_OUTLIERS
from auditor.series.statistics.robust import centre_and_spread, outlier_threshold

# Share of the set from which pictures beyond the limit are a second way of shooting and no outliers
# (common practice, no source). A single picture always can be an outlier.
MOST_OUTLIERS_SHARE = 0.1


@dataclass(frozen=True, slots=True)
class SettingRule:
    """How one setting is followed, on a binary logarithmic scale.

    Attributes
    ----------
    name, unit : str
    read : callable
        In `unit`; None if the file does not state it.
    stops_per_octave : float
        Stops for each doubling of the setting; 1 for focal length, where a "stop" is a doubling.
    noticeable : float
        Largest deviation, in stops, that is never an outlier.
    least_spread : float
        Smallest spread, in stops, that is assumed: cameras set a value in steps.
    """

    name: str
    unit: str
    read: Callable[[CameraSettings], float | None]
    stops_per_octave: float
    noticeable: float
    least_spread: float


@dataclass(frozen=True, slots=True)
class SettingOutlier:
    """A picture that differs from the rest of the set in one setting.

    Attributes
    ----------
    file : str
    value : float
        In the unit of the setting.
    stops : float
        Signed distance from the median of the set; doublings for focal length.
    """

    file: str
    value: float
    stops: float


@dataclass(frozen=True, slots=True)
class CameraSetting:
    """One setting over the set.

    Attributes
    ----------
    setting, unit : str
    usual : float
        The lower median of the values: always one of them.
    values : tuple of (str, float)
        File and value of each picture that states it.
    outliers : tuple of SettingOutlier
    """

    setting: str
    unit: str
    usual: float
    values: tuple[tuple[str, float], ...]
    outliers: tuple[SettingOutlier, ...]


# All thresholds are common practice without a source. One stop of aperture is visible in the depth
# of field (0.9, because marked f-numbers are rounded). One stop of ISO is seldom visible, two stops
# are, in the noise. Two stops of shutter speed separate frozen from blurred motion, and daylight
# drifts by one. Focal length: 0.4 is 50 mm against 66 mm, another perspective, while 50 mm against
# 60 mm is a step forward.
SETTING_RULES = (
    SettingRule(
        "focal_length",
        "mm",
        lambda camera: camera.focal_length_mm,
        stops_per_octave=1,
        noticeable=0.4,
        least_spread=0.1,
    ),
    SettingRule(
        "aperture",
        "f-number",
        lambda camera: camera.f_number,
        stops_per_octave=2,
        noticeable=0.9,
        least_spread=0.2,
    ),
    SettingRule(
        "exposure_time",
        "s",
        lambda camera: camera.exposure_time_s,
        stops_per_octave=1,
        noticeable=1.9,
        least_spread=0.4,
    ),
    SettingRule(
        "iso",
        "ISO",
        lambda camera: camera.iso,
        stops_per_octave=1,
        noticeable=1.9,
        least_spread=0.4,
    ),
)


def follow_camera_settings(measured: Sequence[MeasuredPhotograph]) -> tuple[CameraSetting, ...]:
    """Follow each setting over the set; a setting that no file states is left out."""
    followed = (_follow(rule, measured) for rule in SETTING_RULES)
    return tuple(setting for setting in followed if setting is not None)


def _follow(rule: SettingRule, measured: Sequence[MeasuredPhotograph]) -> CameraSetting | None:
    read = [(picture.file, rule.read(picture.camera)) for picture in measured]
    values = tuple((file, float(value)) for file, value in read if value is not None and value > 0)
    if not values:
        return None
    usual = median_low(value for _, value in values)
    return CameraSetting(rule.name, rule.unit, usual, values, _outliers(rule, values))


def _outliers(rule: SettingRule, values: Sequence[tuple[str, float]]) -> tuple[SettingOutlier, ...]:
    if len(values) < LEAST_PICTURES_FOR_OUTLIERS:
        return ()
    stops = [rule.stops_per_octave * math.log2(value) for _, value in values]
    centre, spread = centre_and_spread(stops)
    threshold = outlier_threshold(len(stops), len(SETTING_RULES))
    limit = max(rule.noticeable, threshold * max(spread, rule.least_spread))
    found = tuple(
        SettingOutlier(file, value, own - centre)
        for (file, value), own in zip(values, stops, strict=True)
        if abs(own - centre) > limit
    )
    return found if len(found) <= max(1, MOST_OUTLIERS_SHARE * len(values)) else ()
