"""A full disk, and places where nothing can be written: a sentence, status 2, nothing changed."""

import shutil
import sys
from contextlib import contextmanager

import pytest

from auditor.errors import UnusableArgumentError
from auditor.output.report_folder import TEXT_FILES, report_in_work
from tests.conftest import draw_dish, run_program
from tests.systems import WINDOWS

PLAN = '[[shot]]\nname = "a dish"\nfiles = ["dish*"]\naspect_ratio = "1:1"\n'
OPEN_PLAN = '[[shot]]\nname = "a dish"\nsubject = { at = "centre" }\n' + "# a note\n" * 700
# What is written, by limits of a file's size in bytes that it does not keep to.
TOO_LARGE = [
    (("audit", "set", "--no-memory", "--out", "place/report"), 5_000),  # a preview
    (("audit", "set", "--no-memory", "--out", "place/report"), 20_000),  # a text
    (("audit", "set", "--no-memory", "--single-file", "--out", "place/report"), 60_000),
    (
        ("audit", "set", "--no-memory", "--plan", "plan.toml", "--proofs", "--out", "place/r"),
        15_000,
    ),
    (("plan", "sheet", "plan.toml", "--out", "place/sheet"), 5_000),
    (("plan", "draft", "set", "--from", "pictures", "--out", "place/draft.toml"), 200),
    (("plan", "match", "set", "place/open.toml"), 5_000),
    (("shoots", "--out", "place/shoots"), 2_000),
    (("report", "place/earlier"), 20_000),
]
COMMANDS = {
    "audit": ("audit", "set", "--no-memory", "--out"),
    "audit in one file": ("audit", "set", "--no-memory", "--single-file", "--summary", "--out"),
    "sheet": ("plan", "sheet", "plan.toml", "--out"),
    "draft": ("plan", "draft", "set", "--from", "pictures", "--out"),
    "shoots": ("shoots", "--out"),
    "report": ("report",),
    "log": ("audit", "set", "--no-memory", "--out", "report", "--log"),
    "pictures": ("audit",),
    "plan": ("audit", "set", "--no-memory", "--out", "report", "--plan"),
    "rules": ("audit", "set", "--no-memory", "--out", "report", "--delivery"),
    "compare": ("compare", "report"),
    "match": ("plan", "match", "set"),
}


@pytest.fixture
def dish(tmp_path):
    folder = tmp_path / "set"
    folder.mkdir()
    draw_dish().save(folder / "dish.jpg", quality=90)
    (tmp_path / "plan.toml").write_text(PLAN, encoding="utf-8")
    return folder


def contents(folder):
    return {
        path.relative_to(folder).as_posix(): path.read_bytes() if path.is_file() else None
        for path in folder.rglob("*")
    }


@contextmanager
def file_size_at_most(n_bytes):
    """No process writes a longer file; what goes beyond fails as on a full disk (EFBIG)."""
    import resource

    before = resource.getrlimit(resource.RLIMIT_FSIZE)
    resource.setrlimit(resource.RLIMIT_FSIZE, (n_bytes, before[1]))
    try:
        yield
    finally:
        resource.setrlimit(resource.RLIMIT_FSIZE, before)


@pytest.mark.skipif(WINDOWS, reason="Windows has no limit for the size of files")
@pytest.mark.parametrize(("command", "limit"), TOO_LARGE)
def test_a_full_disk_leaves_everything_as_it_was(call_auditor, tmp_path, dish, command, limit):
    place = tmp_path / "place"
    place.mkdir()
    (place / "open.toml").write_text(OPEN_PLAN, encoding="utf-8")
    earlier = call_auditor("audit", dish, "--no-memory", "--out", "place/earlier")
    assert earlier.returncode == 0, earlier.stderr
    shutil.copytree(place / "earlier", place / "report")
    before = contents(place)
    with file_size_at_most(limit):
        done = call_auditor(*command)
    assert done.returncode == 2, done.stderr
    assert "File too large" in done.stderr
    assert "Traceback" not in done.stderr
    assert contents(place) == before


@pytest.mark.parametrize("name", COMMANDS)
@pytest.mark.parametrize("place", ["n" * 300, "a\0b", "file/below", "file"])
@pytest.mark.usefixtures("dish")
def test_a_place_that_cannot_be(call_auditor, tmp_path, name, place):
    (tmp_path / "file").write_text("in the way", encoding="utf-8")
    done = call_auditor(*COMMANDS[name], place)
    if (name, place) == ("draft", "file"):
        assert "--overwrite" in done.stderr
    # A file is a picture to audit, here one that cannot be measured.
    assert done.returncode == (3 if (name, place) == ("pictures", "file") else 2), done.stderr
    assert "Traceback" not in done.stderr
    assert done.stderr.strip()
    assert (tmp_path / "file").read_text(encoding="utf-8") == "in the way"
    names = {path.name for path in tmp_path.iterdir()}
    assert names <= {"file", "set", "plan.toml"}


@pytest.mark.skipif(sys.platform != "linux", reason="only Linux has /sys")
@pytest.mark.parametrize("name", ["audit", "sheet", "shoots"])
@pytest.mark.usefixtures("dish")
def test_a_place_that_is_read_only(call_auditor, name):
    done = call_auditor(*COMMANDS[name], "/sys/report")
    assert done.returncode == 2, done.stderr
    assert "--out" in done.stderr


@pytest.mark.parametrize("when", ["while measuring", "before the end"])
def test_a_folder_that_vanishes(tmp_path, when):
    place = tmp_path / "report"

    def write():
        with report_in_work(place) as report:
            if when == "while measuring":
                shutil.rmtree(place)
            (report.pictures / "0001-dish.jpg").write_bytes(b"new")
            shutil.rmtree(place)
            report.publish(dict.fromkeys(TEXT_FILES, "new"))

    with pytest.raises(UnusableArgumentError, match="No such file or directory"):
        write()
    assert list(tmp_path.iterdir()) == []


@pytest.mark.skipif(WINDOWS, reason="Windows does not remove the current folder of a process")
@pytest.mark.parametrize("command", ["audit {set}", "audit . --no-memory", "plan sheet {plan}"])
def test_a_current_folder_that_is_gone(tmp_path, dish, command):
    gone = tmp_path / "gone"
    gone.mkdir()
    arguments = command.format(set=dish, plan=tmp_path / "plan.toml")
    line = f"rmdir {gone}; exec {sys.executable} -P -m auditor {arguments}"
    done = run_program(gone, "/bin/sh", "-c", line)
    assert done.returncode == 2, done.stderr
    assert done.stderr.splitlines()[-1].startswith("The current folder")
