"""A page that stands alone in its folder."""

import pytest

from auditor.errors import UnusableArgumentError
from auditor.output.single_page import write_single_page

MARK = b"<meta mine>"
PAGE = "<html><meta mine>é</html>"


def test_it_is_written_and_written_again(tmp_path):
    for text in (PAGE, PAGE + "2"):
        page = write_single_page(tmp_path / "a" / "b", text, MARK)
        assert page == tmp_path / "a" / "b" / "index.html"
        assert page.read_text(encoding="utf-8") == text
    assert [one.name for one in page.parent.iterdir()] == ["index.html"]


def test_another_page_is_left_as_it_is(tmp_path):
    (tmp_path / "index.html").write_text("of somebody", encoding="utf-8")
    with pytest.raises(UnusableArgumentError, match="another page"):
        write_single_page(tmp_path, PAGE, MARK)
    assert (tmp_path / "index.html").read_text(encoding="utf-8") == "of somebody"
    (tmp_path / "index.html").unlink()
    (tmp_path / "index.html").mkdir()
    with pytest.raises(UnusableArgumentError, match="another page"):
        write_single_page(tmp_path, PAGE, MARK)


def test_a_folder_that_cannot_be_made_is_said(tmp_path):
    (tmp_path / "file").write_text("in the way", encoding="utf-8")
    with pytest.raises(UnusableArgumentError, match="cannot be written"):
        write_single_page(tmp_path / "file" / "shoots", PAGE, MARK)


def test_a_failed_page_leaves_nothing_behind(tmp_path, monkeypatch):
    def fail(*_):
        raise OSError(28, "No space left on device")

    monkeypatch.setattr("pathlib.Path.replace", fail)
    with pytest.raises(UnusableArgumentError, match="No space left"):
        write_single_page(tmp_path / "new" / "shoots", PAGE, MARK)
    assert list(tmp_path.iterdir()) == []
