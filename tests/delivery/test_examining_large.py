"""A file that is too large to be read is examined by its size alone."""

from pathlib import Path

from auditor.delivery import examining
from auditor.delivery.examining import Examination, Examined, examine
from auditor.delivery.file_facts import FileFacts


def test_a_sparse_file_of_8_gb(tmp_path: Path, monkeypatch):
    with (tmp_path / "sparse.tif").open("wb") as stream:
        stream.write(b"II*\0\x08\0\0\0")
        stream.truncate(8_000_000_000)

    def fail(*_):
        raise AssertionError

    monkeypatch.setattr(examining, "read_regular", fail)
    assert examine(tmp_path, Examination("sparse.tif", "sparse.tif")) == Examined(
        FileFacts(8_000_000_000)
    )
