"""A log file: what it says, and what happens where it cannot be written."""

import logging
import os
import sys
from datetime import datetime
from pathlib import Path

import pytest

from auditor import __version__
from auditor.errors import NothingToMeasureError, UnusableArgumentError
from auditor.runs.log_file import logging_to
from tests.systems import WINDOWS

LOGGER = logging.getLogger("auditor.of_this_test")


def unheard(message):
    raise AssertionError(message)


def lines_of(path):
    return path.read_text(encoding="utf-8").splitlines()


def test_each_line_has_its_time_its_level_and_where_it_came_from(tmp_path):
    path = tmp_path / "logs" / "run.log"
    before = datetime.now().astimezone().replace(microsecond=0)
    with logging_to(path, unheard):
        LOGGER.info("measured %d pictures", 3)
        LOGGER.warning("one of them twice")
        LOGGER.debug("not worth a line")
    first, *lines = [line.split(" ", 3) for line in lines_of(path)]
    assert first[3].startswith(f"auditor {__version__}, Python {sys.version.split()[0]}, ")
    assert [line[1:] for line in lines] == [
        ["INFO", "auditor.of_this_test:", "measured 3 pictures"],
        ["WARNING", "auditor.of_this_test:", "one of them twice"],
    ]
    times = [datetime.fromisoformat(line[0]) for line in (first, *lines)]
    assert before <= times[0] <= times[1] <= times[2] <= datetime.now().astimezone()


def test_a_second_run_is_appended(tmp_path):
    path = tmp_path / "run.log"
    for name in ("first", "second"):
        with logging_to(path, unheard):
            LOGGER.info(name)
    assert [line.split()[-1] for line in lines_of(path)[1::2]] == ["first", "second"]


def test_nothing_is_left_behind(tmp_path):
    logger = logging.getLogger("auditor")
    before = (list(logger.handlers), logger.level)
    with logging_to(tmp_path / "run.log", unheard):
        assert (list(logger.handlers), logger.level) != before
    assert (list(logger.handlers), logger.level) == before
    with logging_to(None, unheard):
        assert (list(logger.handlers), logger.level) == before


@pytest.mark.parametrize(
    ("error", "level", "has_traceback"),
    [
        (NothingToMeasureError("no picture in it"), "ERROR", False),
        (KeyboardInterrupt(), "WARNING", False),
        (ZeroDivisionError("of the test"), "CRITICAL", True),
    ],
)
def test_how_a_run_stopped_is_the_last_that_is_logged(tmp_path, error, level, has_traceback):
    path = tmp_path / "run.log"
    with pytest.raises(type(error)), logging_to(path, unheard):
        raise error
    text = path.read_text(encoding="utf-8")
    assert text.splitlines()[1].split()[1] == level
    assert ("Traceback (most recent call last)" in text) == has_traceback
    assert str(error) in text


@pytest.mark.parametrize("contents", [b"my notes\n", b"\xff\xd8\xff\xe0 a picture", b"title = 3"])
def test_a_file_that_is_no_log_is_not_touched(tmp_path, contents):
    path = tmp_path / "dish.jpg"
    path.write_bytes(contents)
    with pytest.raises(UnusableArgumentError, match=r"dish\.jpg: is not a log"):
        logging_to(path, unheard).__enter__()
    assert path.read_bytes() == contents


def test_an_empty_file_becomes_a_log(tmp_path):
    path = tmp_path / "run.log"
    path.touch()
    with logging_to(path, unheard):
        pass
    assert len(lines_of(path)) == 1


def test_a_folder_is_no_place_for_a_log(tmp_path):
    with pytest.raises(UnusableArgumentError, match="the log cannot be written there"):
        logging_to(tmp_path, unheard).__enter__()


def test_a_file_is_no_folder_for_a_log(tmp_path):
    (tmp_path / "file").write_text("in the way", encoding="utf-8")
    with pytest.raises(UnusableArgumentError, match="--log"):
        logging_to(tmp_path / "file" / "run.log", unheard).__enter__()


def put_full_disk_under(path):
    """Whatever this process has open at a path, it has open on a full disk from now on."""
    full = os.open("/dev/full", os.O_WRONLY)
    for link in Path("/proc/self/fd").iterdir():
        if link.resolve() == path.resolve():
            os.dup2(full, int(link.name))
    os.close(full)


needs_full_device = pytest.mark.skipif(
    sys.platform != "linux", reason="only Linux has /dev/full, a disk that is always full"
)


@needs_full_device
def test_a_full_disk_shows_before_the_work_begins():
    with pytest.raises(UnusableArgumentError, match="/dev/full: the log cannot be written there"):
        logging_to(Path("/dev/full"), unheard).__enter__()


@needs_full_device
def test_a_disk_that_fills_up_is_reported_once_and_stops_nothing(tmp_path):
    heard = []
    path = tmp_path / "run.log"
    with logging_to(path, heard.append):
        LOGGER.info("there is room for this")
        put_full_disk_under(path)
        LOGGER.info("but not for this")
        LOGGER.info("nor for this")
    assert lines_of(path)[1].endswith("there is room for this")
    assert len(lines_of(path)) == 2
    (sentence,) = heard
    assert "the log cannot be written there" in sentence
    assert "The audit goes on without it." in sentence


@pytest.mark.skipif(WINDOWS, reason="Windows does not limit files")
def test_a_log_without_room_for_its_first_line_is_not_begun(tmp_path):
    import resource

    before = resource.getrlimit(resource.RLIMIT_FSIZE)
    resource.setrlimit(resource.RLIMIT_FSIZE, (20, before[1]))
    try:
        with (
            pytest.raises(UnusableArgumentError, match=r"File too large.*--log"),
            logging_to(tmp_path / "logs" / "run.log", unheard),
        ):
            pass
    finally:
        resource.setrlimit(resource.RLIMIT_FSIZE, before)
    assert list(tmp_path.iterdir()) == []
