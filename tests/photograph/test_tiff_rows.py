"""An uncompressed TIFF is read from its file row by row, with the same pixels as all at once."""

import numpy as np
import pytest
from PIL import Image

from auditor.errors import UnreadablePictureError
from auditor.photograph import decode
from auditor.photograph.file_bytes import FileBytes, sha256_of
from auditor.photograph.shrinking import reduced_rows
from auditor.photograph.tiff_rows import rows_in_place
from auditor.reasons import RefusalReason
from tests.photograph.pictures import colour_fields, encoded, quarters, read, tiff_of

MODES = ["L", "P", "RGB", "RGBA", "RGBX", "CMYK", "LAB", "LA", "I;16"]


def _picture(mode):
    if mode == "I;16":
        levels = np.random.default_rng(2).integers(0, 65536, (160, 240), dtype=np.uint16)
        return Image.fromarray(levels)
    if mode == "LAB":
        lab = np.random.default_rng(2).integers(0, 256, (160, 240, 3), dtype=np.uint8)
        return Image.frombytes("LAB", (240, 160), lab.tobytes())
    picture = colour_fields()
    if mode in ("RGBA", "LA"):
        picture.putalpha(Image.linear_gradient("L").resize(picture.size))
    return picture.convert(mode)


def _rows_of_file(path, n_rows):
    with path.open("rb") as stream, Image.open(stream) as image:
        rows = rows_in_place(image, FileBytes(stream))
        return None if rows is None else (rows.size, list(rows.read(n_rows)))


@pytest.mark.parametrize("mode", MODES)
@pytest.mark.parametrize("n_rows", [1, 7, 160, 1000])
def test_the_rows_are_those_that_pillow_loads(tmp_path, mode, n_rows):
    path = tmp_path / "picture.tif"
    _picture(mode).save(path, strip_size=240 * 13)
    size, parts = _rows_of_file(path, n_rows)
    with Image.open(path) as whole:
        assert size == whole.size
        assert all(part.mode == whole.mode for part in parts)
        as_shown = [np.asarray(part.convert("RGB") if mode == "P" else part) for part in parts]
        expected = np.asarray(whole.convert("RGB") if mode == "P" else whole)
    assert np.array_equal(np.concatenate(as_shown), expected)


@pytest.mark.parametrize("order", ["<", ">"])
@pytest.mark.parametrize("n_channels", [1, 3, 4])
def test_16_bit_samples_in_both_orders(tmp_path, order, n_channels):
    samples = np.random.default_rng(3).integers(0, 65536, (30, 20, n_channels), dtype=np.uint16)
    photometric = {1: 1, 3: 2, 4: 5}[n_channels]
    path = tmp_path / "picture.tif"
    path.write_bytes(tiff_of(samples, photometric=photometric, order=order))
    _, parts = _rows_of_file(path, 7)
    with Image.open(path) as whole:
        assert np.array_equal(np.concatenate([np.asarray(part) for part in parts]), whole)


@pytest.mark.parametrize(
    "data",
    [
        encoded(quarters(), "TIFF", compression="tiff_lzw"),
        encoded(quarters().convert("1"), "TIFF"),
        tiff_of(np.full((4, 4, 1), 0.5, np.float32), photometric=1),
    ],
    ids=["compressed", "one bit", "floats"],
)
def test_other_layouts_are_left_to_the_decoder(tmp_path, data):
    path = tmp_path / "picture.tif"
    path.write_bytes(data)
    assert _rows_of_file(path, 7) is None


@pytest.mark.parametrize("mode", ["L", "P", "RGB", "RGBA", "CMYK"])
def test_a_picture_read_by_rows_is_the_same_picture(tmp_path, monkeypatch, mode):
    """Reduced by 3, of rows that are read 6 at a time; the last block is not whole."""
    monkeypatch.setattr(decode, "n_rows_at_once", lambda _, factor: 2 * factor)
    monkeypatch.setattr(decode, "detail_size_px", lambda width, height: (width // 3, height // 3))
    data = encoded(_picture(mode).crop((0, 0, 239, 158)), "TIFF")
    by_rows = read(tmp_path, data, "a.tif")
    monkeypatch.setattr(decode, "rows_in_place", lambda *_: None)
    at_once = read(tmp_path, data, "a.tif")
    assert by_rows.detail.shape == (52, 79, 3)
    assert np.array_equal(by_rows.detail, at_once.detail)
    assert np.array_equal(by_rows.pixels, at_once.pixels)
    assert by_rows.sha256 == at_once.sha256


def test_rows_that_are_reduced_apart_are_those_of_the_whole():
    picture = Image.fromarray(
        np.random.default_rng(1).integers(0, 256, (101, 67, 3), dtype=np.uint8)
    )
    parts = [picture.crop((0, top, 67, min(101, top + 20))) for top in range(0, 101, 20)]
    assert np.array_equal(reduced_rows(parts, picture.size, 4), picture.reduce(4))


@pytest.mark.parametrize("orientation", range(1, 9))
def test_a_turned_tiff_is_turned_as_a_jpeg_is(tmp_path, orientation):
    exif = Image.Exif()
    exif[0x0112] = orientation
    tiff = read(tmp_path, encoded(quarters(), "TIFF", exif=exif), "a.tif")
    png = read(tmp_path, encoded(quarters(), "PNG", exif=exif), "a.png")
    assert (tiff.width, tiff.height) == (png.width, png.height)
    assert np.array_equal(tiff.pixels, png.pixels)


def test_a_tiff_whose_last_rows_are_missing(tmp_path):
    samples = np.zeros((50, 40, 3), np.uint8)
    short = tiff_of(samples, photometric=2)[:-40]
    with pytest.raises(UnreadablePictureError) as caught:
        read(tmp_path, short, "a.tif")
    assert caught.value.code == RefusalReason.TRUNCATED


def test_bytes_of_a_file_are_those_of_its_slices(tmp_path):
    content = bytes(range(200)) * 10
    (tmp_path / "file").write_bytes(content)
    with (tmp_path / "file").open("rb") as stream:
        file = FileBytes(stream)
        assert len(file) == len(content)
        assert (file[:7], file[50:90], file[1990:3000]) == (
            content[:7],
            content[50:90],
            content[1990:],
        )
        assert sha256_of(file) == sha256_of(content)
