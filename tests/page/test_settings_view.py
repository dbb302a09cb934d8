import pytest

from auditor.page.links import link_pictures
from auditor.page.settings_view import setting_view, summarise_setting
from auditor.record.audit_record import BrokenRankRecord, CameraSettingRecord
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
        ([4, 4, 4], 5, "f/4 in all of 3 that say it"),
        ([4, 4, 5.6], 3, "f/4 in 2, f/5.6 in 1"),
        ([2.8, 4, 4, 4, 5.6, 8], 6, "f/2.8 to f/8, middle f/4 (3 at it)"),
    ],
)
def test_settings_are_summed_up_in_words(values, n, text):
    assert summarise_setting(setting(values), n) == text


def test_the_picture_that_breaks_rank_is_linked():
    record = audit()
    broken = BrokenRankRecord(file=NAMES[3], value=8.0, stops=2.0, message="shot at f/8")
    view = setting_view(setting([4] * 4, outliers=[broken]), link_pictures(record.images), 4)
    assert view.title == "Aperture"
    assert [(one.link.number, one.sentence) for one in view.breaking] == [(4, "shot at f/8")]
