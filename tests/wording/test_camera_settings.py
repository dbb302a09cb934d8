import pytest

from auditor.page.links import link_pictures
from auditor.page.set_view import set_view
from auditor.record.series_records import CameraSettingRecord, SettingOutlierRecord
from auditor.wording.camera_settings import setting_outlier_words, setting_summary
from auditor.wording.messages import with_messages
from tests.records import NAMES, audit


def setting(values, name="aperture", unit="f-number", outliers=()):
    ordered = sorted(values)
    return CameraSettingRecord(
        setting=name,
        unit=unit,
        usual=ordered[(len(ordered) - 1) // 2],
        values=[(f"{i}.jpg", float(value)) for i, value in enumerate(values)],
        outliers=list(outliers),
    )


@pytest.mark.parametrize(
    ("values", "n", "text"),
    [
        ([4, 4, 4], 3, "f/4 in all pictures"),
        ([4, 4, 4], 5, "f/4 in all of 3 that state it"),
        ([4, 4, 5.6], 3, "f/4 in 2, f/5.6 in 1"),
        ([2.8, 4, 4, 4, 5.6, 8], 6, "f/2.8 to f/8, median f/4, in 3 pictures"),
        ([2.8, 4, 5.6, 8], 4, "f/2.8 to f/8, median f/4, in 1 picture"),
        ([2.8, 4, 4, 5.6, 8], 9, "f/2.8 to f/8, median f/4, in 2 of 5 that state it"),
    ],
)
def test_settings_are_summed_up_in_words(values, n, text):
    assert setting_summary(setting(values), n) == text


def test_the_picture_that_differs_is_linked():
    record = audit()
    outlier = SettingOutlierRecord(file=NAMES[3], value=8.0, stops=2.0)
    series = record.series.model_copy(
        update={"camera_settings": [setting([4] * 4, outliers=[outlier])]}
    )
    record = with_messages(record.model_copy(update={"series": series}))
    (view,) = set_view(record, link_pictures(record.images)).settings
    assert view.title == "Aperture"
    assert [(one.link.number, one.sentence) for one in view.outliers] == [
        (4, "shot at f/8, 2 stops smaller than the rest of the set (f/4)")
    ]


@pytest.mark.parametrize(
    ("name", "unit", "usual", "value", "stops", "words"),
    [
        ("focal_length", "mm", 50, 85, 0.8, "shot at 85 mm, the rest of the set around 50 mm"),
        ("aperture", "f-number", 4, 2.8, -1.0, "shot at f/2.8, 1 stop wider than the rest"),
        ("exposure_time", "s", 1 / 60, 0.5, 4.9, "shot at 0.5 s, 4.9 stops longer than the rest"),
        ("iso", "ISO", 400, 100, -2.0, "shot at ISO 100, 2 stops below the rest"),
    ],
)
def test_each_setting_has_its_words(name, unit, usual, value, stops, words):
    outlier = SettingOutlierRecord(file="a.jpg", value=value, stops=stops)
    followed = setting([usual] * 5, name, unit, [outlier])
    assert setting_outlier_words(outlier, followed).startswith(words)
