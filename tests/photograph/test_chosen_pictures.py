"""Pictures that are named one by one, in place of a folder."""

import pytest

from auditor.errors import UnusableArgumentError
from auditor.photograph.chosen_pictures import folder_or_pictures


@pytest.fixture
def folder(tmp_path):
    for name in ("day/10.jpg", "day/2.jpg", "night/1.jpg"):
        path = tmp_path / name
        path.parent.mkdir(exist_ok=True)
        path.touch()
    return tmp_path


def test_one_folder_means_all_its_pictures(folder):
    assert folder_or_pictures([folder / "day"]) == (folder / "day", None)


def test_one_picture_is_alone(folder):
    assert folder_or_pictures([folder / "day" / "2.jpg"]) == (folder / "day", ("2.jpg",))


def test_pictures_are_in_natural_order_and_each_once(folder):
    day = folder / "day"
    found = folder_or_pictures([day / "10.jpg", day / "2.jpg", day / "10.jpg"])
    assert found == (day, ("2.jpg", "10.jpg"))


def test_pictures_of_several_folders_have_the_folder_that_holds_all(folder):
    found = folder_or_pictures([folder / "day/../night/1.jpg", folder / "day/2.jpg"])
    assert found == (folder.resolve(), ("day/2.jpg", "night/1.jpg"))


def test_all_faults_are_told_at_once(folder):
    with pytest.raises(UnusableArgumentError) as told:
        folder_or_pictures([folder / "day", folder / "day/2.jpg", folder / "day/3.jpg"])
    assert "day: is a folder" in str(told.value)
    assert "3.jpg: there is no such picture" in str(told.value)
    assert "day/2.jpg" not in str(told.value)


def test_nothing_named():
    with pytest.raises(UnusableArgumentError, match="Name a folder"):
        folder_or_pictures([])
