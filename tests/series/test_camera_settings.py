"""Which picture breaks rank in a camera setting, and which set has no rank to break."""

import pytest

from auditor.photograph.photograph import CameraSettings
from auditor.series.camera_settings import exposure_time_text, follow_camera_settings
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


def test_one_high_iso_is_told_in_stops():
    iso = shot(iso=[100, 100, 200, 100, 100, 3200, 100, 100])["iso"]
    (broken,) = iso.outliers
    assert broken.file == "5.jpg"
    assert broken.stops == pytest.approx(5)
    assert broken.message == "shot at ISO 3200, 5 stops above the rest of the set (ISO 100)"


def test_one_stop_of_aperture_is_told():
    # ISO 517: from f/4 to f/5.6 is one stop.
    aperture = shot(f_number=[4.0] * 11 + [5.6])["aperture"]
    (broken,) = aperture.outliers
    assert broken.stops == pytest.approx(1, abs=0.05)
    assert broken.message == "shot at f/5.6, 1 stop smaller than the rest of the set (f/4)"


def test_a_slow_shutter_is_told_and_daylights_drift_is_not():
    times = [1 / 60, 1 / 80, 1 / 50, 1 / 100, 1 / 60, 1 / 40, 1 / 60, 0.5]
    (broken,) = shot(exposure_time_s=times)["exposure_time"].outliers
    assert broken.message.startswith("shot at 0.5 s, 4.9 stops longer")
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
def test_zooming_on_purpose_is_not_accused(focal_lengths):
    assert shot(focal_length_mm=focal_lengths)["focal_length"].outliers == ()


def test_the_one_picture_at_another_focal_length_is_told():
    (broken,) = shot(focal_length_mm=[50.0] * 11 + [24.0])["focal_length"].outliers
    assert broken.message == "shot at 24 mm, the rest of the set around 50 mm"


def test_what_no_file_says_is_left_out():
    found = shot(iso=[100] * 6 + [None] * 2, f_number=[None] * 8)
    assert set(found) == {"iso"}
    assert (found["iso"].usual, len(found["iso"].values)) == (100, 6)


# Marked shutter speeds of cameras (common practice, no source).
@pytest.mark.parametrize(("seconds", "text"), [(1 / 60, "1/60 s"), (0.5, "0.5 s"), (30, "30 s")])
def test_shutter_speeds_read_as_on_a_camera(seconds, text):
    assert exposure_time_text(seconds) == text
