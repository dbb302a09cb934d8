"""What C code writes to standard error is logged instead."""

import logging
import os
import tempfile

import pytest

from auditor.photograph.decoder_messages import decoder_messages_logged


def _write(text):
    os.write(2, text.encode())


def test_messages_are_logged_with_the_name_of_the_picture(caplog, capfd):
    with decoder_messages_logged("a.tif"):
        _write("first\nsecond\n")
    _write("after")
    assert [record.getMessage() for record in caplog.records] == ["a.tif: first", "a.tif: second"]
    assert {record.levelno for record in caplog.records} == {logging.WARNING}
    assert capfd.readouterr().err == "after"


def test_standard_error_is_back_after_an_error(caplog, capfd):
    def fail():
        with decoder_messages_logged("a.tif"):
            _write("before it")
            raise ValueError("of the test")

    with pytest.raises(ValueError, match="of the test"):
        fail()
    _write("after")
    assert [record.getMessage() for record in caplog.records] == ["a.tif: before it"]
    assert capfd.readouterr().err == "after"


def test_only_so_much_is_kept(caplog):
    with decoder_messages_logged("a.tif"):
        for _ in range(1000):
            _write("the same message over and over\n")
    assert 100 < len(caplog.records) < 500


@pytest.mark.parametrize(("module", "function"), [(tempfile, "TemporaryFile"), (os, "dup")])
def test_where_it_cannot_be_redirected_the_picture_is_read_all_the_same(
    monkeypatch, capfd, module, function
):
    def fail(*_):
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(module, function, fail)
    with decoder_messages_logged("a.tif"):
        _write("shown")
    monkeypatch.undo()
    assert capfd.readouterr().err == "shown"


def test_an_error_behind_thousands_of_remarks_is_still_given():
    with decoder_messages_logged("a.tif") as lines:
        for _ in range(3000):
            _write("a remark about a broken field\n")
        _write("Fax4Decode: Bad code word at line 7\n")
    assert lines[-1] == "Fax4Decode: Bad code word at line 7"
