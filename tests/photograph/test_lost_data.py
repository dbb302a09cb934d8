"""Damage that a container does not show: the decoder alone notices it."""

import struct
import zlib

import numpy as np
import pytest
from PIL import Image

from auditor.errors import UnreadablePictureError
from auditor.photograph import decode
from auditor.photograph.decode import read_photograph
from auditor.reasons import RefusalReason
from tests.photograph.pictures import encoded, png_chunk, png_of, read, with_checksums

N_LOST_BYTES = 4096
WIDTH, HEIGHT = 240, 160


@pytest.fixture
def noise():
    """A picture that no compression makes small."""
    samples = np.random.default_rng(5).integers(0, 256, (HEIGHT, WIDTH, 3), dtype=np.uint8)
    return Image.fromarray(samples)


def _png(compressed, metadata=b""):
    """A PNG with given compressed rows and chunks behind them; all its checksums are right."""
    header = png_chunk(b"IHDR", struct.pack(">IIBBBBB", WIDTH, HEIGHT, 8, 2, 0, 0, 0))
    pixels = png_chunk(b"IDAT", compressed)
    return b"\x89PNG\r\n\x1a\n" + header + pixels + metadata + png_chunk(b"IEND", b"")


def _compressed_rows(picture):
    return zlib.compress(b"".join(b"\0" + row.tobytes() for row in np.asarray(picture)))


def _without_middle(data):
    middle = len(data) // 2
    return data[: middle - N_LOST_BYTES // 2] + data[middle + N_LOST_BYTES // 2 :]


def _code_of(folder, data):
    with pytest.raises(UnreadablePictureError) as caught:
        read(folder, data)
    return caught.value.code


def test_the_png_of_these_tests_is_good(tmp_path, noise):
    rows = _compressed_rows(noise)
    assert np.array_equal(read(tmp_path, _png(rows)).pixels, np.asarray(noise))
    assert _png(rows) == png_of(WIDTH, HEIGHT, zlib.decompress(rows))


def test_a_png_that_lost_pixels_under_right_checksums(tmp_path, noise):
    assert _code_of(tmp_path, _png(_without_middle(_compressed_rows(noise)))) == "damaged"


def test_a_png_that_lost_pixels_and_has_exif(tmp_path, noise):
    exif = Image.Exif()
    exif[0x0112] = 6
    whole = encoded(noise, "PNG", exif=exif)
    start = whole.index(b"IDAT") + 2000
    damaged = with_checksums(whole[:start] + bytes(200) + whole[start + 200 :])
    assert read(tmp_path, whole).width == HEIGHT
    assert _code_of(tmp_path, damaged) == "damaged"


def test_broken_metadata_behind_the_pixels_of_a_png_cost_nothing(tmp_path, noise):
    resolution = png_chunk(b"pHYs", b"\0\0")  # nine bytes are right
    data = _png(_compressed_rows(noise), resolution)
    with pytest.raises(ValueError, match="pHYs"), Image.open(_written(tmp_path, data)) as image:
        image.load()
    assert np.array_equal(read(tmp_path, data).pixels, np.asarray(noise))
    damaged = _png(_without_middle(_compressed_rows(noise)), resolution)
    assert _code_of(tmp_path, damaged) == "damaged"


@pytest.mark.parametrize("mode", ["RGB", "RGBA", "P", "L"])
def test_an_animation_is_read_by_its_first_frame_unless_that_is_smaller(tmp_path, noise, mode):
    first = noise.convert(mode)
    second = noise.rotate(90).convert(mode)
    data = encoded(first, "PNG", save_all=True, append_images=[second])
    assert np.array_equal(read(tmp_path, data).pixels, np.asarray(first.convert("RGB")))
    larger = bytearray(data)
    larger[16:24] = struct.pack(">II", WIDTH * 2, HEIGHT * 2)
    assert _code_of(tmp_path, with_checksums(bytes(larger))) in ("damaged", "truncated")


def _written(folder, data):
    (folder / "metadata.png").write_bytes(data)
    return folder / "metadata.png"


@pytest.mark.parametrize("compression", ["tiff_lzw", "tiff_adobe_deflate"])
def test_a_tiff_that_lost_pixels(tmp_path, noise, compression, capfd):
    data = encoded(noise, "TIFF", compression=compression)
    start = 20_000  # the directory is at the end
    damaged = data[:start] + bytes(N_LOST_BYTES) + data[start + N_LOST_BYTES :]
    assert _code_of(tmp_path, damaged) == "damaged"
    assert capfd.readouterr().err == ""


@pytest.mark.parametrize("options", [{}, {"lossless": True}])
def test_a_webp_that_lost_pixels(tmp_path, noise, options):
    data = _without_middle(encoded(noise, "WEBP", **options))
    (chunk_bytes,) = struct.unpack_from("<I", data, 16)
    sizes = struct.pack("<I", len(data) - 8), struct.pack("<I", chunk_bytes - N_LOST_BYTES)
    damaged = data[:4] + sizes[0] + data[8:16] + sizes[1] + data[20:]
    assert _code_of(tmp_path, damaged) == "damaged"


@pytest.mark.parametrize("error", [ZeroDivisionError, OSError])
@pytest.mark.parametrize("step", ["describe", "eight_bit_on_white", "to_srgb", "turn"])
@pytest.mark.parametrize("kind", ["PNG", "TIFF"])
def test_a_fault_of_our_own_is_not_blamed_on_the_picture(tmp_path, monkeypatch, kind, step, error):
    (tmp_path / "picture").write_bytes(encoded(Image.new("RGB", (64, 64)), kind))

    def fail(*_):
        raise error("of the test")

    monkeypatch.setattr(decode, step, fail)
    with pytest.raises(error, match="of the test"):
        read_photograph(tmp_path, "picture")


@pytest.mark.parametrize("error", [RuntimeError, OSError, KeyError])
@pytest.mark.parametrize("call", ["open", "Image.load"])
def test_any_error_of_a_decoder_is_about_the_picture(tmp_path, monkeypatch, call, error):
    (tmp_path / "picture").write_bytes(encoded(Image.new("RGB", (64, 64)), "JPEG"))

    def fail(*_, **__):
        raise error("of the test")

    monkeypatch.setattr(f"PIL.Image.{call}", fail)
    with pytest.raises(UnreadablePictureError) as caught:
        read_photograph(tmp_path, "picture")
    assert caught.value.code == RefusalReason.DAMAGED
    assert isinstance(caught.value.__cause__, error)


@pytest.mark.parametrize("step", ["eight_bit_on_white", "to_srgb"])
def test_too_little_memory_for_our_own_steps_is_about_the_size(tmp_path, monkeypatch, step):
    (tmp_path / "picture").write_bytes(encoded(Image.new("RGB", (64, 64)), "JPEG"))

    def fail(*_):
        raise MemoryError

    monkeypatch.setattr(decode, step, fail)
    with pytest.raises(UnreadablePictureError) as caught:
        read_photograph(tmp_path, "picture")
    assert caught.value.code == RefusalReason.TOO_LARGE
