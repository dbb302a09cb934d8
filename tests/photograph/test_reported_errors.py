"""What a decoder only reports, or Pillow only logs, is noticed too."""

import contextlib
import io
import logging
import subprocess
import sys

import numpy as np
import pytest
from PIL import Image

from auditor.errors import UnreadablePictureError
from auditor.photograph.decode import read_photograph
from tests.photograph.pictures import encoded, png_chunk, png_of, quarters, read, tiff_of

_STRIP_OFFSETS, _STRIP_BYTES = 273, 279  # TIFF 6.0 tags

# A file of standard error of its own: pytest puts handlers of its own onto every logger.
HEAD = """
import sys
from pathlib import Path
from auditor.photograph.default_areas import default_areas, read_head
folder = Path(sys.argv[1])
assert default_areas({"a.tif": read_head(folder, "a.tif")}) == frozenset()
"""


@pytest.fixture
def one_bit():
    """Lines that a fax compresses well."""
    picture = Image.new("1", (200, 120), 1)
    for x in range(0, 200, 7):
        picture.paste(0, (x, 10, x + 3, 110))
    return picture


def _refused(folder, data):
    with pytest.raises(UnreadablePictureError) as caught:
        read(folder, data)
    return caught.value


@pytest.mark.parametrize("compression", ["group3", "group4"])
def test_a_fax_of_which_libtiff_decodes_on_after_an_error(tmp_path, one_bit, compression, capfd):
    data = bytearray(encoded(one_bit, "TIFF", compression=compression))
    assert read(tmp_path, bytes(data)).width == 200
    capfd.readouterr()
    with Image.open(io.BytesIO(data)) as image:
        (start,), (length,) = image.tag_v2[_STRIP_OFFSETS], image.tag_v2[_STRIP_BYTES]
    garbage = np.random.default_rng(3).bytes(length - 10)
    data[start + 5 : start + length - 5] = garbage
    with Image.open(io.BytesIO(data)) as image:
        image.load()  # Pillow raises nothing
    assert "Fax" in capfd.readouterr().err
    refused = _refused(tmp_path, bytes(data))
    assert refused.code == "damaged"
    assert "at line" in refused.message
    assert capfd.readouterr().err == ""


def test_errors_about_a_head_are_not_written_to_standard_error(tmp_path):
    (tmp_path / "a.tif").write_bytes(tiff_of(np.zeros((4, 4, 40), np.uint8), photometric=2))
    done = subprocess.run(
        [sys.executable, "-c", HEAD, str(tmp_path)], capture_output=True, text=True, check=False
    )
    assert (done.returncode, done.stderr) == (0, "")


def test_errors_about_a_head_reach_the_log_of_a_program_that_wants_them(tmp_path, caplog):
    data = tiff_of(np.zeros((4, 4, 40), np.uint8), photometric=2)
    with caplog.at_level(logging.ERROR):
        assert _refused(tmp_path, data).code == "unsupported"
    assert "More samples per pixel" in caplog.text


def test_pixels_that_go_on_behind_other_chunks_are_read_whole_or_refused(tmp_path):
    samples = np.asarray(quarters())
    rows = b"".join(b"\0" + row.tobytes() for row in samples)
    whole = png_of(120, 80, rows)
    start = whole.index(b"IDAT") - 4
    length = int.from_bytes(whole[start : start + 4], "big")
    content = whole[start + 8 : start + 8 + length]
    half = length // 2
    split = (
        whole[:start]
        + png_chunk(b"IDAT", content[:half])
        + png_chunk(b"tEXt", b"a\0b")
        + png_chunk(b"IDAT", content[half:])
        + png_chunk(b"IEND", b"")
    )
    (tmp_path / "split.png").write_bytes(split)
    with contextlib.suppress(UnreadablePictureError):  # a decoder may well stop there
        assert np.array_equal(read_photograph(tmp_path, "split.png").pixels, samples)
