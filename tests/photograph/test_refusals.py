"""A folder of good and bad files: good ones are read, each bad one is refused with its own code."""

import builtins
import io
import os
import struct
import sys
from pathlib import Path

import numpy as np
import pytest
from PIL import Image

from auditor.errors import UnreadablePictureError
from auditor.photograph import decode, picture_file
from auditor.photograph.decode import read_photograph
from auditor.photograph.folder import find_pictures
from auditor.photograph.photograph import CameraSettings
from auditor.reasons import REFUSALS, RefusalReason
from tests.photograph.pictures import colour_fields, encoded, png_of, quarters, read, tiff_of


def _refused(folder, data, name="picture.jpg"):
    with pytest.raises(UnreadablePictureError) as caught:
        read(folder, data, name)
    assert caught.value.code in list(RefusalReason)
    assert "0x" not in caught.value.message
    return caught.value


def _jpeg_without_size():
    data = bytearray(encoded(quarters(), "JPEG"))
    frame = data.index(b"\xff\xc0")
    data[frame + 5 : frame + 9] = bytes(4)
    return bytes(data)


def test_a_folder_of_good_and_bad_files(tmp_path, monkeypatch):
    jpeg = encoded(colour_fields(), "JPEG")
    exif = b"Exif\0\0II*\0\x08\0\0\0\xff\xff" + b"\x99" * 40
    files = {
        "broken exif.jpg": encoded(quarters(), "JPEG", exif=exif),
        "cmyk.tif": encoded(quarters().convert("CMYK"), "TIFF"),
        "deep.png": encoded(Image.fromarray(np.full((9, 9), 40000, np.uint16)), "PNG"),
        "empty.jpg": b"",
        "good.jpg": jpeg,
        "locked.jpg": jpeg,
        "no pixels.png": png_of(0, 0, b""),
        "text.jpg": b"Shopping list: clementines, honey, tea\n",
        "truncated.jpg": jpeg[: len(jpeg) // 2],
    }
    for name, data in files.items():
        (tmp_path / name).write_bytes(data)
    open_regular = picture_file.open_regular

    def refusing(path):
        if path.name == "locked.jpg":
            raise PermissionError(13, "Permission denied")
        return open_regular(path)

    # The user who runs a test may be allowed to read everything, so the refusal is simulated.
    monkeypatch.setattr(picture_file, "open_regular", refusing)
    good, refused = [], {}
    for name in find_pictures(tmp_path, leave_out=None).files:
        try:
            good.append(read_photograph(tmp_path, name).file)
        except UnreadablePictureError as error:
            refused[name] = error.code
    assert good == ["broken exif.jpg", "cmyk.tif", "deep.png", "good.jpg"]
    assert refused == {
        "empty.jpg": "empty_file",
        "locked.jpg": "no_permission",
        "no pixels.png": "no_pixels",
        "text.jpg": "not_a_picture",
        "truncated.jpg": "truncated",
    }


def test_every_reason_is_explained():
    assert set(REFUSALS) == set(RefusalReason)


def test_broken_exif_costs_the_camera_settings_only(tmp_path):
    exif = b"Exif\0\0II*\0\x08\0\0\0\xff\xff" + b"\x99" * 40
    photograph = read(tmp_path, encoded(quarters(), "PNG", exif=exif))
    assert photograph.camera == CameraSettings()
    assert np.array_equal(photograph.pixels, np.asarray(quarters()))


@pytest.mark.parametrize("share", [0.02, 0.2, 0.5, 0.9])
@pytest.mark.parametrize(
    ("kind", "options"),
    [
        ("JPEG", {}),
        ("JPEG", {"progressive": True}),
        ("PNG", {}),
        ("TIFF", {}),
        ("TIFF", {"compression": "tiff_lzw"}),
        ("WEBP", {}),
        ("AVIF", {}),
    ],
)
def test_a_file_that_was_cut_off_is_distinguished_from_other_damage(tmp_path, kind, options, share):
    data = encoded(colour_fields(), kind, **options)
    cut = data[: max(16, int(len(data) * share))]
    assert _refused(tmp_path, cut).code == RefusalReason.TRUNCATED


def test_heic_that_was_cut_off(tmp_path):
    heif = pytest.importorskip("pillow_heif")
    stream = io.BytesIO()
    heif.from_pillow(colour_fields()).save(stream)
    data = stream.getvalue()
    refused = _refused(tmp_path, data[: len(data) // 2], "picture.heic")
    assert refused.code == RefusalReason.TRUNCATED


@pytest.mark.parametrize(
    "data",
    [
        png_of(0, 0, b""),
        png_of(0, 5, b""),
        _jpeg_without_size(),
        tiff_of(np.zeros((0, 0, 1), np.uint8), photometric=1),
    ],
    ids=["PNG", "PNG of no width", "JPEG", "TIFF"],
)
def test_a_header_of_0_by_0_pixels(tmp_path, data):
    assert _refused(tmp_path, data).code == RefusalReason.NO_PIXELS


@pytest.mark.parametrize(
    ("data", "name"),
    [
        (encoded(quarters(), "GIF"), "GIF"),
        (encoded(quarters(), "BMP"), "BMP"),
        (b"8BPS\0\x01" + bytes(60), "PSD"),
        (struct.pack(">I4s4s", 24, b"ftyp", b"crx ") + bytes(40), "camera raw"),
    ],
)
def test_other_kinds_of_pictures_are_named(tmp_path, data, name):
    refused = _refused(tmp_path, data)
    assert refused.code == RefusalReason.UNSUPPORTED
    assert name in refused.message


@pytest.mark.parametrize(
    "samples",
    [
        np.full((4, 4, 1), 3.5, np.float32),
        np.full((4, 4, 1), np.nan, np.float32),
        np.full((4, 4, 1), 70000, np.uint32),
        np.full((4, 4, 3), 0.5, np.float32),
    ],
    ids=["floats above 1", "no numbers", "32-bit", "RGB floats"],
)
def test_samples_whose_white_is_unknown_are_refused(tmp_path, samples):
    photometric = 2 if samples.shape[2] == 3 else 1
    refused = _refused(tmp_path, tiff_of(samples, photometric=photometric))
    assert refused.code == RefusalReason.UNSUPPORTED
    assert "export it again" in refused.message


def test_heic_without_the_addition_names_what_to_install(tmp_path, monkeypatch):
    data = struct.pack(">I4s4sI", 20, b"ftyp", b"heic", 0) + b"mif1" + bytes(60)
    monkeypatch.setitem(sys.modules, "pillow_heif", None)
    refused = _refused(tmp_path, data, "picture.heic")
    assert refused.code == RefusalReason.UNSUPPORTED
    assert "pip install auditor[heif]" in refused.message


def test_a_picture_that_would_fill_the_memory_is_not_decoded(tmp_path):
    refused = _refused(tmp_path, png_of(60_000, 60_000, b"\0"))
    assert refused.code == RefusalReason.TOO_LARGE
    assert "60000 by 60000" in refused.message


def test_up_to_300_megapixels_are_allowed(tmp_path, monkeypatch):
    """A header beyond Pillow's own limit passes it, and meets ours when that is lower."""
    data = png_of(19_000, 15_000, b"\0")  # 285 megapixels announced, none there
    limit = Image.MAX_IMAGE_PIXELS
    monkeypatch.setattr(decode, "LARGEST_PICTURE_PX", 284_000_000)
    assert _refused(tmp_path, data).code == RefusalReason.TOO_LARGE
    assert limit == Image.MAX_IMAGE_PIXELS
    monkeypatch.setattr(decode, "LARGEST_PICTURE_PX", 300_000_000)
    monkeypatch.setattr(decode, "load", _pass_the_limit)
    (tmp_path / "picture.png").write_bytes(data)
    with pytest.raises(_PassedError):
        read_photograph(tmp_path, "picture.png")


class _PassedError(Exception):
    """Raised where the size has been accepted and the pixels would be decoded."""


def _pass_the_limit(*_, **__):
    raise _PassedError


def test_a_file_that_vanished_after_the_folder_was_read(tmp_path):
    with pytest.raises(UnreadablePictureError) as caught:
        read_photograph(tmp_path, "gone.jpg")
    assert caught.value.code == RefusalReason.VANISHED


@pytest.mark.parametrize("error", [OSError(5, "Input/output error"), IsADirectoryError(21, "x")])
def test_a_fault_of_the_disk_is_reported(tmp_path, monkeypatch, error):
    def failing(_):
        raise error

    monkeypatch.setattr(picture_file, "open_regular", failing)
    with pytest.raises(UnreadablePictureError) as caught:
        read_photograph(tmp_path, "picture.jpg")
    assert caught.value.code == RefusalReason.DISK_FAULT


def test_damage_inside_is_reported_as_damage(tmp_path):
    data = bytearray(encoded(colour_fields(), "PNG"))
    middle = data.index(b"IDAT") + 40
    data[middle] ^= 0x10
    assert _refused(tmp_path, bytes(data)).code == RefusalReason.DAMAGED


def test_the_file_is_opened_once(tmp_path, monkeypatch):
    (tmp_path / "picture.jpg").write_bytes(encoded(quarters(), "JPEG"))
    opened = []

    def counting(real):
        def opening(file, *arguments, **options):
            if not isinstance(file, int):  # a file that is open already
                opened.append(file)
            return real(file, *arguments, **options)

        return opening

    monkeypatch.setattr(io, "open", counting(io.open))
    monkeypatch.setattr(os, "open", counting(os.open))
    monkeypatch.setattr(builtins, "open", counting(builtins.open))
    read_photograph(tmp_path, "picture.jpg")
    assert [Path(file).name for file in opened] == ["picture.jpg"]
