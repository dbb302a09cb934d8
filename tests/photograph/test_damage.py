"""Whatever the bytes of a file, reading it gives a photograph or a refusal with a code."""

import numpy as np
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from PIL import Image

from auditor.errors import UnreadablePictureError
from auditor.reasons import RefusalReason
from tests.photograph.pictures import encoded, quarters, read, with_checksums


def _metadata():
    exif = Image.Exif()
    exif[0x010F] = "Maker"
    exif[0x0112] = 6
    exif.get_ifd(0x8769)[0x920A] = (50, 1)
    return exif


_GOOD = {
    "JPEG": encoded(quarters(), "JPEG", exif=_metadata()),
    "PNG": encoded(quarters(), "PNG", exif=_metadata()),
    "TIFF": encoded(quarters(60, 40), "TIFF", compression="tiff_lzw", exif=_metadata()),
    "WEBP": encoded(quarters(), "WEBP", exif=_metadata()),
    "AVIF": encoded(quarters(), "AVIF", exif=_metadata()),
}
_SIGNATURES = (b"", b"\xff\xd8\xff\xe0", b"\x89PNG\r\n\x1a\n", b"II*\0", b"MM\0*", b"II+\0")

_quick = settings(
    max_examples=60,
    deadline=None,
    derandomize=True,
    suppress_health_check=[HealthCheck.function_scoped_fixture],
)


def _read_or_refuse(folder, data):
    try:
        photograph = read(folder, data)
    except UnreadablePictureError as error:
        outcome = (error.code in list(RefusalReason), bool(error.message))
    else:
        pixels = photograph.pixels
        outcome = (pixels.dtype == np.uint8, pixels.shape[2:] == (3,) and pixels.size > 0)
    assert outcome == (True, True)


@_quick
@given(head=st.sampled_from(_SIGNATURES), body=st.binary(max_size=300))
def test_random_bytes(tmp_path, head, body):
    _read_or_refuse(tmp_path, head + body)


@pytest.mark.parametrize("kind", _GOOD)
@_quick
@given(share=st.floats(0, 1))
def test_truncation(tmp_path, kind, share):
    data = _GOOD[kind]
    _read_or_refuse(tmp_path, data[: int(len(data) * share)])


@pytest.mark.parametrize("kind", _GOOD)
@_quick
@given(flips=st.lists(st.tuples(st.floats(0, 1), st.integers(0, 7)), min_size=1, max_size=6))
def test_flipped_bits(tmp_path, kind, flips):
    data = bytearray(_GOOD[kind])
    for share, bit in flips:
        data[int(share * (len(data) - 1))] ^= 1 << bit
    _read_or_refuse(tmp_path, bytes(data))


@_quick
@given(flips=st.lists(st.tuples(st.floats(0, 1), st.integers(0, 7)), min_size=1, max_size=6))
def test_flipped_bits_under_right_checksums(tmp_path, flips):
    data = bytearray(_GOOD["PNG"])
    for share, bit in flips:
        data[int(share * (len(data) - 1))] ^= 1 << bit
    _read_or_refuse(tmp_path, with_checksums(bytes(data)))


@pytest.mark.parametrize("kind", _GOOD)
@_quick
@given(position=st.integers(0, 400), content=st.binary(min_size=1, max_size=12))
def test_overwritten_headers(tmp_path, kind, position, content):
    data = bytearray(_GOOD[kind])
    position = min(position, len(data) - len(content))
    data[position : position + len(content)] = content
    _read_or_refuse(tmp_path, bytes(data))
