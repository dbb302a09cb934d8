"""The command: what it writes, what it refuses, what it says."""

import re

import pytest
from PIL import Image

from auditor.plan_sheet.sheet_folder import frame_file
from tests.conftest import ROOT

PLAN = ROOT / "fixtures" / "teahouse" / "plan.toml"
SMALL = ("--size", "300x200")


@pytest.fixture(scope="module")
def small_plan(tmp_path_factory):
    path = tmp_path_factory.mktemp("plan") / "spring.toml"
    path.write_text(
        'title = "Spring <soup>"\n[[shot]]\nname = "soup & herbs"\nfiles = ["*soup*"]\n'
        'subject = { at = "centre" }\n[[shot]]\nname = "nothing"\nfiles = ["*"]\n',
        encoding="utf-8",
    )
    return path


def test_a_page_and_a_picture_for_each_shot(call_auditor, small_plan, tmp_path):
    done = call_auditor("plan", "sheet", small_plan, *SMALL)
    assert (done.returncode, done.stderr) == (0, "")
    assert done.stdout == "sheets/spring/index.html\n"
    folder = tmp_path / "sheets" / "spring"
    assert sorted(path.name for path in folder.iterdir()) == ["frames", "index.html"]
    pictures = sorted(path.name for path in (folder / "frames").iterdir())
    assert pictures == ["01-soup-herbs.png", "02-nothing.png"]
    with Image.open(folder / "frames" / pictures[0]) as picture:
        assert picture.size == (300, 200)
        assert not picture.info  # the plan is in the drawing alone
    page = (folder / "index.html").read_text(encoding="utf-8")
    assert "Spring &lt;soup&gt;" in page
    assert "soup &amp; herbs" in page
    assert "The plan says nothing of this picture but its name." in page
    assert page.count('type="checkbox"') == page.count("<article") == 2
    assert all(f'href="frames/{name}"' in page for name in pictures)
    assert "<script" not in page


def test_twice_the_same_plan_gives_the_same_bytes(call_auditor, small_plan, tmp_path):
    contents = []
    for name in "ab":
        call_auditor("plan", "sheet", small_plan, *SMALL, "--out", name)
        files = sorted(path for path in (tmp_path / name).rglob("*") if path.is_file())
        contents.append([path.read_bytes() for path in files])
    assert contents[0] == contents[1]


def test_an_upright_frame_has_an_upright_picture(call_auditor, tmp_path):
    assert call_auditor("plan", "sheet", PLAN, "--out", "sheet").returncode == 0
    (first, *_) = sorted((tmp_path / "sheet" / "frames").iterdir())
    with Image.open(first) as picture:
        assert picture.size == (2000, 3000)


def test_a_faulty_plan_is_reported_as_the_check_does(call_auditor, tmp_path):
    (tmp_path / "plan.toml").write_text(
        '[[shot]]\nname = "a"\nfiles = ["*"]\ntechnique = "thurds"\ncolour = 3\n', encoding="utf-8"
    )
    checked = call_auditor("plan", "check", "plan.toml")
    done = call_auditor("plan", "sheet", "plan.toml")
    assert done.returncode == checked.returncode == 2
    assert done.stderr == checked.stderr
    assert "thurds" in done.stderr
    assert not (tmp_path / "sheets").exists()


def test_a_wrong_size_is_reported_before_anything_is_written(call_auditor, small_plan, tmp_path):
    done = call_auditor("plan", "sheet", small_plan, "--size", "big")
    assert done.returncode == 2
    assert "--size big: write width and height in pixels, as in 6000x4000" in done.stderr
    assert not (tmp_path / "sheets").exists()


def test_an_earlier_sheet_is_replaced_and_other_files_stay(call_auditor, small_plan, tmp_path):
    call_auditor("plan", "sheet", PLAN, *SMALL, "--out", "sheet")
    (tmp_path / "sheet" / "notes.txt").write_text("mine", encoding="utf-8")
    assert call_auditor("plan", "sheet", small_plan, *SMALL, "--out", "sheet").returncode == 0
    names = sorted(path.name for path in (tmp_path / "sheet").rglob("*"))
    assert names == ["01-soup-herbs.png", "02-nothing.png", "frames", "index.html", "notes.txt"]


@pytest.mark.parametrize("name", ["index.html", "frames", "frames/holiday.jpg"])
def test_files_of_others_are_never_replaced(call_auditor, small_plan, tmp_path, name):
    folder = tmp_path / "sheet"
    if name == "frames/holiday.jpg":
        call_auditor("plan", "sheet", small_plan, *SMALL, "--out", "sheet")
    else:
        folder.mkdir()
    (folder / name).write_bytes(b"mine")
    before = {path: path.read_bytes() for path in folder.rglob("*") if path.is_file()}
    done = call_auditor("plan", "sheet", small_plan, *SMALL, "--out", "sheet")
    assert done.returncode == 2
    assert re.search(rf"holds (.*, )?{name}", done.stderr)
    assert {path: path.read_bytes() for path in folder.rglob("*") if path.is_file()} == before


def test_a_failure_leaves_the_earlier_sheet(call_auditor, small_plan, tmp_path, monkeypatch):
    call_auditor("plan", "sheet", small_plan, *SMALL, "--out", "sheet")
    before = {path: path.read_bytes() for path in tmp_path.rglob("*") if path.is_file()}

    def full_disk(*_arguments):
        raise OSError(28, "No space left on device")

    monkeypatch.setattr("auditor.plan_sheet.write_sheet.write_picture", full_disk)
    done = call_auditor("plan", "sheet", PLAN, "--out", "sheet")
    assert done.returncode == 2
    assert "No space left on device" in done.stderr
    assert {path: path.read_bytes() for path in tmp_path.rglob("*") if path.is_file()} == before
    done = call_auditor("plan", "sheet", PLAN, "--out", "other/sheet")
    assert done.returncode == 2
    assert not (tmp_path / "other").exists()


def test_names_of_pictures_hold_no_path():
    assert frame_file(3, "../etc/passwd") == "03-etc-passwd.png"
    assert frame_file(12, "Törtchen / Kaffee?") == "12-törtchen-kaffee.png"
    assert frame_file(1, "***") == "01-.png"
    assert len(frame_file(1, "long " * 60)) < 60
