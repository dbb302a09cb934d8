"""Outliers in the settings of the camera, and sets that were shot with several on purpose."""

import numpy as np
import pytest

from auditor.photograph.photograph import CameraSettings
from auditor.series.camera_settings import follow_camera_settings
from tests.factories import measured_photograph


def shot(**settings):
    """Settings of each picture: a list, or one value for all."""
    n = max((len(v) for v in settings.values() if isinstance(v, list)), default=8)
    columns = {k: v if isinstance(v, list) else [v] * n for k, v in settings.items()}
    pictures = [
        measured_photograph(
            file=f"{i}.jpg",
            camera=CameraSettings(**{name: values[i] for name, values in columns.items()}),
        )
        for i in range(n)
    ]
    return {setting.setting: setting for setting in follow_camera_settings(pictures)}


def test_one_high_iso_is_an_outlier_in_stops():
    iso = shot(iso=[100, 100, 200, 100, 100, 3200, 100, 100])["iso"]
    (outlier,) = iso.outliers
    assert (outlier.file, outlier.value) == ("5.jpg", 3200)
    assert outlier.stops == pytest.approx(5)


def test_one_stop_of_aperture_is_an_outlier():
    # ISO 517: from f/4 to f/5.6 is one stop.
    aperture = shot(f_number=[4.0] * 11 + [5.6])["aperture"]
    (outlier,) = aperture.outliers
    assert (outlier.value, aperture.usual) == (5.6, 4.0)
    assert outlier.stops == pytest.approx(1, abs=0.05)


def test_a_slow_shutter_is_an_outlier_and_the_drift_of_daylight_is_none():
    times = [1 / 60, 1 / 80, 1 / 50, 1 / 100, 1 / 60, 1 / 40, 1 / 60, 0.5]
    (outlier,) = shot(exposure_time_s=times)["exposure_time"].outliers
    assert outlier.value == 0.5
    assert outlier.stops == pytest.approx(np.log2(0.5 / np.median(times)))
    assert shot(exposure_time_s=times[:-1])["exposure_time"].outliers == ()


@pytest.mark.parametrize(
    "focal_lengths",
    [
        [24.0, 70.0, 35.0, 50.0, 28.0, 65.0, 40.0, 24.0, 70.0],  # a zoom used as one
        [50.0] * 8 + [85.0] * 3,  # two lenses
        [50.0, 55.0, 60.0, 50.0, 48.0, 52.0, 60.0],  # a step of zoom
        [50.0] * 4,  # too few
        [50.0] * 3 + [200.0],
    ],
)
def test_zooming_on_purpose_makes_no_outlier(focal_lengths):
    assert shot(focal_length_mm=focal_lengths)["focal_length"].outliers == ()


def test_the_one_picture_at_another_focal_length_is_an_outlier():
    (outlier,) = shot(focal_length_mm=[50.0] * 11 + [24.0])["focal_length"].outliers
    assert (outlier.file, outlier.value) == ("11.jpg", 24.0)
    assert outlier.stops == pytest.approx(np.log2(24 / 50))  # doublings


def test_a_setting_that_no_file_states_is_left_out():
    found = shot(iso=[100] * 6 + [None] * 2, f_number=[None] * 8)
    assert set(found) == {"iso"}
    assert (found["iso"].usual, len(found["iso"].values)) == (100, 6)
