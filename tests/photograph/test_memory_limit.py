"""Pictures that would fill the memory are refused before they take it; others are still read."""

import subprocess
import sys
import zlib

import numpy as np
import pytest
from PIL import Image, PngImagePlugin

from auditor.errors import UnreadablePictureError
from auditor.photograph import decode, memory_limit, picture_file
from auditor.photograph.containers import (
    JPEG,
    TIFF,
    WEBP,
    declared_size_px,
    has_jpeg_several_scans,
)
from auditor.photograph.decode import read_photograph
from auditor.photograph.decoder import opened
from auditor.photograph.memory_limit import LARGEST_PICTURE_BYTES, decoding_bytes
from auditor.photograph.pillow_limits import LARGEST_PNG_TEXT_BYTES, pillow_limits_raised
from auditor.reasons import RefusalReason
from tests.photograph.icc_profiles import SPACES, matrix_profile
from tests.photograph.large_pictures import write_png
from tests.photograph.pictures import colour_fields, encoded, png_chunk, png_of, quarters, read
from tests.systems import limited

_HARD_LIMIT = 3_000_000_000

# Run in a process of its own: the limit holds until the process ends.
_UNDER_A_LIMIT = f"""
import resource, sys
from pathlib import Path
resource.setrlimit(resource.RLIMIT_AS, ({_HARD_LIMIT}, {_HARD_LIMIT}))
from auditor.errors import UnreadablePictureError
from auditor.runs.measured_file import measure_picture
for path in map(Path, sys.argv[1:]):
    try:
        print(measure_picture(path).width)
    except UnreadablePictureError as error:
        print(error.code)
"""


def _sparse(path):
    with path.open("wb") as stream:
        stream.write(b"II*\0\x08\0\0\0")
        stream.truncate(8_000_000_000)


@limited
def test_with_3_gb_large_pictures_are_refused_and_a_good_one_after_them_is_measured(tmp_path):
    large, sparse, good = (tmp_path / name for name in ("large.png", "sparse.tif", "good.png"))
    write_png(large, (17_000, 17_000), 4, bits=16)
    _sparse(sparse)
    good.write_bytes(encoded(colour_fields(), "PNG"))
    done = subprocess.run(
        [sys.executable, "-c", _UNDER_A_LIMIT, large, sparse, good],
        capture_output=True,
        text=True,
        check=False,
        timeout=120,
    )
    assert done.stdout.split() == ["too_large", "too_large", "240"], done.stderr


def test_a_file_above_the_limit_is_not_read(tmp_path, monkeypatch):
    _sparse(tmp_path / "sparse.tif")
    monkeypatch.setattr(picture_file, "sha256_of", _not_called)
    with pytest.raises(UnreadablePictureError) as caught:
        read_photograph(tmp_path, "sparse.tif")
    assert caught.value.code == RefusalReason.TOO_LARGE
    assert "8,000 MB" in caught.value.message
    assert "1,000 MB" in caught.value.message


def _not_called(*_):
    raise AssertionError


@pytest.mark.parametrize("kind", ["PNG", "WEBP", "AVIF", "JPEG", "TIFF"])
def test_a_picture_above_the_limit_is_refused_before_it_is_loaded(tmp_path, monkeypatch, kind):
    options = {"progressive": True} if kind == "JPEG" else {}
    options |= {"compression": "tiff_lzw"} if kind == "TIFF" else {}
    data = encoded(colour_fields(), kind, **options)
    read(tmp_path, data)
    monkeypatch.setattr(memory_limit, "LARGEST_PICTURE_BYTES", 240 * 160)
    monkeypatch.setattr(picture_file, "refuse_large_file", lambda _: None)
    monkeypatch.setattr("PIL.ImageFile.ImageFile.load", _not_called)
    monkeypatch.setattr("PIL.TiffImagePlugin.TiffImageFile.load", _not_called)
    with pytest.raises(UnreadablePictureError) as caught:
        read(tmp_path, data)
    assert caught.value.code == RefusalReason.TOO_LARGE
    assert "240 by 160" in caught.value.message


def _cost(picture, kind, **options):
    data = encoded(picture, kind, **options)
    with opened(data, kind) as image:
        return decoding_bytes(image, image.size, kind, data) - len(data)


def test_what_is_estimated():
    picture = Image.new("RGB", (400, 300))
    n_pixels = 400 * 300
    assert _cost(picture, "JPEG") == 4 * n_pixels
    # The two colours have half the width and half the height: 1.5 samples a pixel, of two bytes.
    assert _cost(picture, "JPEG", progressive=True) == (4 + 3) * n_pixels
    full = _cost(picture, "JPEG", progressive=True, subsampling=0)
    assert full == (4 + 6) * n_pixels
    assert _cost(picture, "WEBP") >= 20 * n_pixels
    assert _cost(picture.convert("L"), "TIFF", compression="tiff_lzw") >= n_pixels


def test_cameras_and_panoramas_stay_below_the_limit():
    for width, height in ((14_204, 10_652), (40_000, 4_000), (1_000, 60_000)):
        data = png_of(width, height, b"\0")  # announced, not there
        with opened(data, "PNG") as image:
            assert decoding_bytes(image, image.size, "PNG", data) < LARGEST_PICTURE_BYTES


@pytest.mark.parametrize(
    "options", [{}, {"lossless": True}, {"exif": b"Exif\0\0II*\0\x08\0\0\0\0\0"}]
)
def test_sizes_in_the_header_of_webp(options):
    data = encoded(Image.new("RGB", (321, 123), (9, 8, 7)), WEBP, **options)
    assert declared_size_px(data, WEBP) == (321, 123)
    assert declared_size_px(data[:20], WEBP) is None


def test_scans_of_a_jpeg():
    assert has_jpeg_several_scans(encoded(quarters(), JPEG, progressive=True)) is True
    assert has_jpeg_several_scans(encoded(quarters(), JPEG)) is False
    assert has_jpeg_several_scans(encoded(quarters().convert("L"), JPEG)) is False
    first_of_three = encoded(quarters(), JPEG).replace(b"\xff\xda\0\x0c\x03", b"\xff\xda\0\x08\x01")
    assert has_jpeg_several_scans(first_of_three) is True
    assert has_jpeg_several_scans(b"\xff\xd8\xff\xda") is False


@pytest.mark.parametrize("step", ["turn", "_photograph", "opened_file", "_pixels"])
def test_too_little_memory_at_any_step_is_a_refusal(tmp_path, monkeypatch, step):
    def fail(*_):
        raise MemoryError

    monkeypatch.setattr(decode, step, fail)
    with pytest.raises(UnreadablePictureError) as caught:
        read(tmp_path, encoded(quarters(), "PNG"))
    assert caught.value.code == RefusalReason.TOO_LARGE


def test_a_decoder_that_says_in_words_that_the_memory_is_full(tmp_path, monkeypatch):
    def fail(*_):
        raise OSError("decoder error -9")

    data = encoded(quarters(), TIFF, compression="tiff_lzw")
    monkeypatch.setattr("PIL.TiffImagePlugin.TiffImageFile.load", fail)
    with pytest.raises(UnreadablePictureError) as caught:
        read(tmp_path, data)
    assert caught.value.code == RefusalReason.TOO_LARGE


def _png_with(chunk_name, content):
    data = encoded(quarters(), "PNG")
    return data[:33] + png_chunk(chunk_name, content) + data[33:]


def _large_profile():
    """A good profile with 3 MB behind its tags, as tables for printing have."""
    primaries, white, curve, _ = SPACES["Adobe RGB (1998)"]
    profile = matrix_profile("Adobe RGB (1998)", primaries, white, curve)
    large = profile + np.random.default_rng(1).bytes(3_000_000)
    return len(large).to_bytes(4, "big") + large[4:]


def test_a_png_with_a_profile_of_3_mb(tmp_path):
    profile = _large_profile()
    data = _png_with(b"iCCP", b"a\0\0" + zlib.compress(profile))
    with pytest.raises(ValueError, match="MAX_TEXT_CHUNK"):
        Image.open(_written(tmp_path, data))
    assert read(tmp_path, data).colour_profile == "Adobe RGB (1998)"


def test_a_png_with_xmp_of_2_mb(tmp_path):
    packet = (
        b'<rdf:RDF xmlns:rdf="http://www.w3.org/1999/02/22-rdf-syntax-ns#"><rdf:Description'
        b' xmlns:dc="http://purl.org/dc/elements/1.1/"><dc:creator>Ada</dc:creator>'
        b"</rdf:Description></rdf:RDF>" + b" " * 2_000_000
    )
    text = b"XML:com.adobe.xmp\0\x01\0\0\0" + zlib.compress(packet)
    photograph = read(tmp_path, _png_with(b"iTXt", text))
    assert photograph.creator == "Ada"


def test_a_text_in_a_png_that_unpacks_to_more_than_the_bound(tmp_path):
    text = b"name\0\0" + zlib.compress(bytes(LARGEST_PNG_TEXT_BYTES + 1))
    with pytest.raises(UnreadablePictureError) as caught:
        read(tmp_path, _png_with(b"zTXt", text))
    assert caught.value.code == RefusalReason.TOO_LARGE
    assert "34 MB" in caught.value.message


def _written(folder, data):
    (folder / "large.png").write_bytes(data)
    return folder / "large.png"


def test_pillow_has_its_own_limits_back_after_blocks_within_each_other():
    before = _limits()
    with pillow_limits_raised():
        raised = _limits()
        with pillow_limits_raised():
            assert _limits() == raised
        assert _limits() == raised
    assert before == _limits() != raised


def _limits():
    return (Image.MAX_IMAGE_PIXELS, PngImagePlugin.MAX_TEXT_CHUNK, PngImagePlugin.MAX_TEXT_MEMORY)
