"""The pictures that are found in a folder, and their order."""

import os
from pathlib import Path

import pytest

from auditor.errors import UnusableArgumentError
from auditor.photograph.folder import (
    FoundPictures,
    find_pictures,
    natural_key,
    printable_name,
    printable_names,
)
from tests.systems import names_are_bytes, special_files


def _touch(folder: Path, *files: str) -> None:
    for file in files:
        path = folder / file
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_bytes(b"x")


def test_every_extension_is_found_in_any_case_and_nothing_else(tmp_path):
    wanted = ("a.JPG", "b.jpeg", "c.Jpe", "d.png", "e.TIF", "f.tiff", "g.webp", "h.avif")
    wanted = (*wanted, "i.heic", "j.HEIF", "k.jfif", "l.JIF", "m.mpo", "n.hif")
    _touch(tmp_path, *wanted)
    _touch(tmp_path, "notes.txt", "k.gif", "jpg", "l.jpg.xmp", "m.cr3")
    assert find_pictures(tmp_path, leave_out=None).files == wanted


def test_the_order_is_natural_folder_by_folder(tmp_path):
    files = ("10.jpg", "2.jpg", "day 2/1.jpg", "day 10/1.jpg", "B.jpg", "a.jpg", "001.jpg")
    _touch(tmp_path, *files)
    assert find_pictures(tmp_path, leave_out=None).files == (
        "001.jpg",
        "2.jpg",
        "10.jpg",
        "a.jpg",
        "B.jpg",
        "day 2/1.jpg",
        "day 10/1.jpg",
    )


def test_order_is_total_where_names_differ_in_case_or_zeros_only():
    names = ["A1.jpg", "a1.jpg", "a01.jpg", "a\u00b2.jpg"]
    keys = [natural_key(name) for name in names]
    assert len(set(keys)) == len(names)
    backwards = names[::-1]
    assert sorted(names, key=natural_key) == sorted(backwards, key=natural_key)


def test_hidden_files_the_report_and_earlier_reports_are_left_out(tmp_path):
    _touch(tmp_path, "1.jpg", ".2.jpg", ".thumbnails/3.jpg", "report/4.jpg", "earlier/in/5.jpg")
    _touch(tmp_path, "earlier/index.html", "web page/6.jpg", "web page/index.html")
    _touch(tmp_path, "web page/audit.json")
    (tmp_path / "earlier" / "audit.json").write_text('{"schema_version": 1, "auditor_version": ""}')
    found = find_pictures(tmp_path, leave_out=tmp_path / "report").files
    assert found == ("1.jpg", "web page/6.jpg")


def test_a_report_written_into_the_folder_itself_hides_nothing(tmp_path):
    _touch(tmp_path, "1.jpg")
    assert find_pictures(tmp_path, leave_out=tmp_path).files == ("1.jpg",)


def test_links_in_a_circle_end_and_each_folder_is_read_once(tmp_path):
    shoot = tmp_path / "shoot"
    _touch(tmp_path, "elsewhere.jpg", "other/8.jpg")
    _touch(shoot, "1.jpg", "b/2.jpg")
    (shoot / "a").symlink_to(shoot / "b", target_is_directory=True)
    (shoot / "b" / "self").symlink_to(shoot / "b", target_is_directory=True)
    (shoot / "b" / "root").symlink_to(shoot, target_is_directory=True)
    (shoot / "up").symlink_to(tmp_path, target_is_directory=True)
    (shoot / "x").symlink_to(shoot / "y")
    (shoot / "y").symlink_to(shoot / "x")
    (shoot / "other").symlink_to(tmp_path / "other", target_is_directory=True)
    assert find_pictures(shoot, leave_out=None).files == ("1.jpg", "b/2.jpg", "other/8.jpg")


def test_a_picture_that_is_a_link_is_listed_even_if_its_target_is_missing(tmp_path):
    _touch(tmp_path, "1.jpg")
    (tmp_path / "2.jpg").symlink_to(tmp_path / "1.jpg")
    (tmp_path / "3.jpg").symlink_to(tmp_path / "gone.jpg")
    assert find_pictures(tmp_path, leave_out=None).files == ("1.jpg", "2.jpg", "3.jpg")


@special_files
def test_what_has_a_picture_s_name_and_is_no_file_is_listed_to_be_refused(tmp_path):
    os.mkfifo(tmp_path / "1.jpg")
    (tmp_path / "2.jpg").symlink_to(tmp_path / "1.jpg")
    (tmp_path / "3.jpg").symlink_to("/dev/zero")
    (tmp_path / "4.jpg").symlink_to(tmp_path / "5.jpg")
    (tmp_path / "5.jpg").symlink_to(tmp_path / "4.jpg")
    names = tuple(f"{number}.jpg" for number in range(1, 6))
    assert find_pictures(tmp_path, leave_out=None) == FoundPictures(names, ())


def test_links_that_are_not_followed_are_named(tmp_path):
    shoot = tmp_path / "shoot"
    _touch(tmp_path, "elsewhere.jpg")
    _touch(shoot, "1.jpg", "b/2.jpg")
    (shoot / "b" / "root").symlink_to(shoot, target_is_directory=True)
    (shoot / "b" / "up").symlink_to(tmp_path, target_is_directory=True)
    (shoot / "x").symlink_to(shoot / "y")
    (shoot / "y").symlink_to(shoot / "x")
    found = find_pictures(shoot, leave_out=None)
    assert found.files == ("1.jpg", "b/2.jpg")
    assert (found.unreadable_folders, found.links_upwards) == (("x", "y"), ("b/up",))


def test_files_that_are_no_pictures_by_name_are_counted(tmp_path):
    _touch(tmp_path, "1.jpg", "plan.toml", "raw/1.cr3", "raw/notes", ".hidden", "report/index.html")
    assert find_pictures(tmp_path, leave_out=tmp_path / "report").n_other_files == 3


def test_folders_within_folders_without_end_in_sight(tmp_path, monkeypatch):
    deepest = 600
    monkeypatch.chdir(tmp_path)
    for _ in range(deepest):  # the whole path would be too long for one call
        Path("a").mkdir()
        os.chdir("a")
    Path("1.jpg").touch()
    os.chdir(tmp_path)
    assert find_pictures(tmp_path, leave_out=None).files == ("a/" * deepest + "1.jpg",)


@special_files
def test_a_pipe_that_is_called_like_a_record_is_not_waited_for(tmp_path):
    _touch(tmp_path, "1.jpg", "earlier/2.jpg", "earlier/index.html")
    os.mkfifo(tmp_path / "earlier" / "audit.json")
    assert find_pictures(tmp_path, leave_out=None).files == ("1.jpg", "earlier/2.jpg")


def test_a_sub_folder_that_cannot_be_read_is_reported_and_stops_nothing(tmp_path, monkeypatch):
    _touch(tmp_path, "1.jpg", "closed/2.jpg", "open/closed/3.jpg", "open/4.jpg", "web/.closed/5")
    scan = os.scandir

    def refusing(path):
        if Path(path).name == "closed":
            raise PermissionError(13, "Permission denied")
        return scan(path)

    # The user who runs a test may be allowed to read everything, so the refusal is simulated.
    monkeypatch.setattr(os, "scandir", refusing)
    found = find_pictures(tmp_path, leave_out=None)
    assert found.files == ("1.jpg", "open/4.jpg")
    assert found.unreadable_folders == ("closed", "open/closed")


def test_a_link_into_a_closed_folder_is_reported(tmp_path, monkeypatch):
    _touch(tmp_path, "set/1.jpg", "away/in/2.jpg")
    for name in ("other day", "3.jpg"):
        (tmp_path / "set" / name).symlink_to(tmp_path / "away" / "in")

    class Refusing:
        def __init__(self, entry):
            self.name, self.path = entry.name, entry.path
            self.is_file, self.is_symlink = entry.is_file, entry.is_symlink
            self._is_dir = entry.is_dir

        def is_dir(self):
            if self.is_symlink():
                raise PermissionError(13, "Permission denied")
            return self._is_dir()

    scan = os.scandir
    monkeypatch.setattr(os, "scandir", lambda path: [Refusing(entry) for entry in scan(path)])
    found = find_pictures(tmp_path / "set", leave_out=None)
    assert found.files == ("1.jpg", "3.jpg")
    assert found.unreadable_folders == ("other day",)


@pytest.mark.parametrize("name", ["missing", "a file.jpg"])
def test_a_folder_that_is_missing_or_a_file_is_reported(tmp_path, name):
    _touch(tmp_path, "a file.jpg")
    with pytest.raises(UnusableArgumentError, match="cannot be read"):
        find_pictures(tmp_path / name, leave_out=None)


@names_are_bytes
def test_a_name_that_is_not_text_is_found_sorted_and_can_be_opened(tmp_path):
    os.close(os.open(os.fsencode(tmp_path) + b"/caf\xe9.jpg", os.O_CREAT | os.O_WRONLY))
    _touch(tmp_path, "b.jpg", "d.jpg")
    found = find_pictures(tmp_path, leave_out=None).files
    assert [printable_name(name) for name in found] == ["b.jpg", "caf\ufffd.jpg", "d.jpg"]
    assert (tmp_path / found[1]).exists()


def test_names_that_print_alike_become_different():
    raw = ("dish\udcff.jpg", "dish\udcfe.jpg", "dish\ufffd (2).jpg", "a\ud800.jpg", "dish.jpg")
    assert printable_names(raw) == (
        "dish\ufffd.jpg",
        "dish\ufffd (3).jpg",
        "dish\ufffd (2).jpg",
        "a\ufffd.jpg",
        "dish.jpg",
    )
    assert printable_names(()) == ()


def test_what_stands_beside_a_drafted_plan_is_no_picture_of_the_set(tmp_path):
    for name in ("menu.toml", "menu-understood.png", "menu-understood-2.png", "a-understood.png"):
        (tmp_path / name).touch()
    assert find_pictures(tmp_path, leave_out=None).files == ("a-understood.png",)
