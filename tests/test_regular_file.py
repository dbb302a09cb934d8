"""Nothing is opened that has no end: pipes, sockets and devices never hang a step."""

import os
import signal
import socket
from pathlib import Path

import pytest
from PIL import Image

import auditor
from auditor.delivery.examining import Examination, examine
from auditor.errors import UnreadablePictureError, UnusableArgumentError
from auditor.photograph.chosen_pictures import folder_or_pictures
from auditor.photograph.decode import read_photograph
from auditor.photograph.default_areas import default_areas, read_head
from auditor.photograph.folder import find_pictures
from auditor.regular_file import NotAFileError, TooLargeFileError, open_regular, read_regular
from tests.photograph.pictures import encoded
from tests.systems import special_files

pytestmark = special_files
MOST_SECONDS = 20


@pytest.fixture
def folder(tmp_path, monkeypatch):
    """A folder with one of each kind that has a picture's name and is no file."""
    monkeypatch.chdir(tmp_path)  # the path of a socket must be short
    os.mkfifo("pipe.jpg")
    server = socket.socket(socket.AF_UNIX)
    server.bind("socket.jpg")
    Path("device.jpg").symlink_to("/dev/zero")
    Path("terminal.jpg").symlink_to("/dev/tty")
    Path("link.jpg").symlink_to("pipe.jpg")
    Path("made up.jpg").symlink_to("/proc/self/pagemap")
    yield tmp_path
    server.close()


SPECIAL = ("device.jpg", "link.jpg", "pipe.jpg", "socket.jpg", "terminal.jpg")


@pytest.fixture(autouse=True)
def _in_time():
    """Nothing here may take long; a call that waits is interrupted, and the test fails."""

    def fail(*_):
        pytest.fail("it did not come to an end")

    before = signal.signal(signal.SIGALRM, fail)
    signal.alarm(MOST_SECONDS)
    yield
    signal.alarm(0)
    signal.signal(signal.SIGALRM, before)


@pytest.mark.parametrize("file", SPECIAL)
def test_reading_refuses_it(folder, file):
    with pytest.raises(UnreadablePictureError) as caught:
        read_photograph(folder, file)
    assert caught.value.code == "not_a_file"


def test_the_library_refuses_it(folder):
    with pytest.raises(UnreadablePictureError, match=r"device\.jpg: It has a picture's name"):
        auditor.measure(folder / "device.jpg")


def test_the_walk_and_the_default_areas_pass_it(folder):
    files = find_pictures(folder, leave_out=None).files
    assert set(files) == {*SPECIAL, "made up.jpg"}
    assert default_areas({file: read_head(folder, file) for file in files}) == frozenset()


def test_the_rules_of_a_hand_over_know_nothing_of_it(folder):
    for file in SPECIAL:
        assert examine(folder, Examination(file, file, with_pixels=True)).facts.n_bytes is None


def test_a_file_that_the_system_makes_up_without_end_is_empty(folder):
    with pytest.raises(UnreadablePictureError) as caught:
        read_photograph(folder, "made up.jpg")
    assert caught.value.code == "empty_file"


@pytest.mark.usefixtures("folder")
def test_named_alone_it_is_no_folder():
    with pytest.raises(UnusableArgumentError, match=r"pipe\.jpg: is a pipe, a socket or a device"):
        folder_or_pictures([Path("pipe.jpg")])


def test_a_pipe_that_takes_the_place_of_a_file_is_not_waited_for(folder, monkeypatch):
    good = folder / "good.png"
    good.write_bytes(encoded(Image.new("RGB", (60, 60)), "PNG"))
    looks_like_a_file = good.stat()
    monkeypatch.setattr(Path, "stat", lambda _: looks_like_a_file)
    with pytest.raises(NotAFileError):
        open_regular(folder / "pipe.jpg")


def test_a_file_is_read_whole_and_a_folder_is_none(tmp_path):
    content = bytes(range(256)) * 5000
    (tmp_path / "a.jpg").write_bytes(content)
    assert read_regular(tmp_path / "a.jpg", len(content)) == content
    with pytest.raises(NotAFileError):
        read_regular(tmp_path, len(content))


def test_a_file_past_the_limit_is_not_read(tmp_path):
    (tmp_path / "a.jpg").write_bytes(bytes(1001))
    with pytest.raises(TooLargeFileError, match=r"larger than 0\.001 MB") as caught:
        read_regular(tmp_path / "a.jpg", 1000)
    assert caught.value.n_bytes == 1001


@pytest.mark.parametrize("name", ["a.jpg", "b.jpg"])
def test_a_link_to_itself_is_refused_without_the_folder_s_path(tmp_path, name):
    (tmp_path / "a.jpg").symlink_to(tmp_path / "b.jpg")
    (tmp_path / "b.jpg").symlink_to(tmp_path / "a.jpg")
    with pytest.raises(UnreadablePictureError) as caught:
        read_photograph(tmp_path, name)
    assert caught.value.code == "vanished"
    assert "leads back to itself" in caught.value.message
    assert str(tmp_path) not in caught.value.message
