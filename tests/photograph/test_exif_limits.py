"""What no camera can have written is left out; what is only rare stays."""

import piexif
import pytest

from auditor.photograph.exif import ExifFields, camera_settings, exposed_ratio

_PHOTO = piexif.ExifIFD
_LARGEST = 2**32 - 1
# Field of EXIF, values that no camera has, values that are only rare; what is read is in `FIELDS`.
CASES = {
    _PHOTO.FNumber: ([(_LARGEST, 1), (2, 10), (1, _LARGEST), (0, 0), (1, 0)], [(7, 10), (128, 1)]),
    _PHOTO.ApertureValue: ([(32, 1), (-32, 1), (0, 0)], [(-1, 1), (14, 1)]),
    _PHOTO.ExposureTime: ([(10**9, 1), (1, _LARGEST), (0, 0)], [(1, 180_000), (3600, 1)]),
    _PHOTO.ShutterSpeedValue: ([(32, 1), (-32, 1), (0, 0)], [(17, 1), (-10, 1)]),
    _PHOTO.ISOSpeedRatings: ([0, 10**9], [1, 25_600]),
    _PHOTO.FocalLength: ([(0, 1), (10**9, 1), (1, 10**6), (0, 0)], [(15, 10), (5200, 1)]),
    _PHOTO.FocalLengthIn35mmFilm: ([0, 65_535], [9, 8000]),
    _PHOTO.DateTimeOriginal: (
        [b"0001:01:01 00:00:00", b"9999:12:31 23:59:59", b"1825:01:01 00:00:00"],
        [b"1899:06:01 12:00:00", b"2038:01:19 03:14:08"],
    ),
}
FIELDS = {
    _PHOTO.FNumber: "f_number",
    _PHOTO.ApertureValue: "f_number",
    _PHOTO.ExposureTime: "exposure_time_s",
    _PHOTO.ShutterSpeedValue: "exposure_time_s",
    _PHOTO.ISOSpeedRatings: "iso",
    _PHOTO.FocalLength: "focal_length_mm",
    _PHOTO.FocalLengthIn35mmFilm: "focal_length_35mm",
    _PHOTO.DateTimeOriginal: "taken",
}


def _read(tag, value):
    """As piexif gives it back, which has the types of the standard."""
    block = piexif.dump({"Exif": {tag: value}}) if not _is_negative(value) else None
    photo = {tag: value} if block is None else piexif.load(block)["Exif"]
    return getattr(camera_settings(ExifFields(photo=photo)), FIELDS[tag])


def _is_negative(value):
    return (isinstance(value, tuple) and min(value) < 0) or value == 10**9


@pytest.mark.parametrize("tag", CASES)
def test_what_no_camera_has_is_left_out(tag):
    assert [_read(tag, value) for value in CASES[tag][0]] == [None] * len(CASES[tag][0])


@pytest.mark.parametrize("tag", CASES)
def test_what_is_rare_is_kept(tag):
    assert None not in [_read(tag, value) for value in CASES[tag][1]]


def test_a_frame_that_no_camera_exposes_is_left_out():
    size = {_PHOTO.PixelXDimension: _LARGEST, _PHOTO.PixelYDimension: 1}
    assert exposed_ratio(ExifFields(photo=size), (400, 300), 1) is None
    size = {_PHOTO.PixelXDimension: 12_000, _PHOTO.PixelYDimension: 1200}
    assert exposed_ratio(ExifFields(photo=size), (400, 300), 1) == 10
