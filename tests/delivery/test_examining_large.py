"""A file that is too large to be read is examined by its size alone."""

import io
import os
from pathlib import Path

from auditor.delivery.examining import Examination, Examined, examine
from auditor.delivery.file_facts import FileFacts


class Unread(io.FileIO):
    """An open file that nobody may read."""

    def read(self, *_):
        raise AssertionError


def test_a_sparse_file_of_8_gb(tmp_path: Path, monkeypatch):
    with (tmp_path / "sparse.tif").open("wb") as stream:
        stream.write(b"II*\0\x08\0\0\0")
        stream.truncate(8_000_000_000)

    monkeypatch.setattr(os, "fdopen", lambda descriptor, _: Unread(descriptor))
    assert examine(tmp_path, Examination("sparse.tif", "sparse.tif")) == Examined(
        FileFacts(8_000_000_000)
    )
