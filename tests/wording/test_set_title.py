"""What an audit is called."""

import pytest

from auditor.wording.set_title import folder_title, set_name, subtitle
from tests.records import audit, measured


@pytest.mark.parametrize(
    "folder",
    [
        *("pictures", "Images", "PHOTOS", "Finals", "finals 2", "export", "Export_03", "jpg"),
        *("DCIM", "100CANON", "101_PANA", "untitled folder", "New folder (3)", "out-1", ".", ""),
        *("/home/somebody/Client Name/finals", "C:\\Users\\somebody\\Pictures", "low-res"),
    ],
)
def test_a_folder_whose_name_says_nothing_gives_no_title(folder):
    assert folder_title(folder) == ""
    record = audit(with_plan=False, refused=False, folder=folder)
    assert set_name(record) == "4 pictures, 25 November 2026"
    assert subtitle(record) == "without a plan"


@pytest.mark.parametrize(
    ("folder", "name"),
    [
        ("/home/somebody/teahouse", "teahouse"),
        ("2026-11-20", "2026-11-20"),
        ("12", "12"),
        ("winter finals", "winter finals"),
        ("exporters of tea", "exporters of tea"),
    ],
)
def test_any_other_name_is_a_title(folder, name):
    assert folder_title(folder) == name


def test_a_picture_alone_is_called_by_its_name():
    one = audit(images=[measured("plates/tart.jpg")], title="Winter citrus", refused=False)
    assert set_name(one) == "tart.jpg"
    assert subtitle(one) == "Winter citrus · teahouse · plan: winter.toml · 25 November 2026"


def test_a_plan_gives_the_title_and_what_was_refused_is_said():
    record = audit(title="Winter citrus", folder="finals")
    assert set_name(record) == "Winter citrus"
    assert subtitle(record) == (
        "4 pictures measured · 1 could not be measured · plan: winter.toml · 25 November 2026"
    )
    nameless = audit(with_plan=False, folder="finals")
    assert set_name(nameless) == "5 pictures, 25 November 2026"
    assert subtitle(nameless) == "4 pictures measured · 1 could not be measured · without a plan"
