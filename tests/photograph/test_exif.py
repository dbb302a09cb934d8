"""EXIF is read as CIPA DC-008-2019 defines it; private data is not kept."""

import dataclasses
import math

import piexif
import pytest
from PIL import Image
from PIL.TiffImagePlugin import IFDRational

from auditor.photograph.exif import ExifFields, exposed_ratio, positive, text
from auditor.photograph.photograph import CameraSettings
from tests.photograph.pictures import encoded, quarters, read

# Tag numbers of CIPA DC-008-2019, tables 3 to 6.
_MAKE, _MODEL, _DATE_TIME, _ARTIST, _COPYRIGHT = 0x010F, 0x0110, 0x0132, 0x013B, 0x8298
_EXIF, _GPS = 0x8769, 0x8825
_EXPOSURE_TIME, _F_NUMBER, _ISO, _ORIGINAL = 0x829A, 0x829D, 0x8827, 0x9003
_FOCAL_LENGTH, _FOCAL_LENGTH_35MM, _LENS_MODEL = 0x920A, 0xA405, 0xA434
_SHUTTER_SPEED, _APERTURE = 0x9201, 0x9202

_CONTAINERS = ("JPEG", "PNG", "TIFF", "WEBP", "AVIF")


def _exif(main=(), photo=(), gps=()):
    """An EXIF block by Pillow's own writer."""
    exif = Image.Exif()
    exif.update(dict(main))
    if photo:
        exif[_EXIF] = dict(photo)
    if gps:
        exif[_GPS] = dict(gps)
    return exif.tobytes()


def _camera(folder, kind="JPEG", **directories):
    return read(folder, encoded(quarters(), kind, exif=_exif(**directories))).camera


def _piexif_camera(folder, photo):
    """The camera settings of an EXIF block that piexif wrote."""
    return read(folder, encoded(quarters(), "JPEG", exif=piexif.dump({"Exif": photo}))).camera


@pytest.mark.parametrize("kind", _CONTAINERS)
def test_every_field_is_read_back_from_every_container(tmp_path, kind):
    camera = _camera(
        tmp_path,
        kind,
        main={_MAKE: "Maker", _MODEL: "Body II", _DATE_TIME: "2026:01:02 03:04:05"},
        photo={
            _EXPOSURE_TIME: IFDRational(1, 125),
            _F_NUMBER: IFDRational(56, 10),
            _ISO: 400,
            _ORIGINAL: "2026:01:01 12:30:00",
            _FOCAL_LENGTH: IFDRational(50, 1),
            _FOCAL_LENGTH_35MM: 75,
            _LENS_MODEL: "50mm F1.8 Macro",
        },
        gps={1: "N", 2: (48.0, 12.0, 30.0), 3: "E", 4: (16.0, 22.0, 0.0)},
    )
    assert camera == CameraSettings(
        make="Maker",
        model="Body II",
        lens="50mm F1.8 Macro",
        focal_length_mm=50.0,
        focal_length_35mm=75.0,
        exposure_time_s=1 / 125,
        f_number=5.6,
        iso=400,
        taken="2026-01-01T12:30:00",
        has_gps=True,
    )


def test_a_picture_without_exif_has_no_settings(tmp_path):
    photograph = read(tmp_path, encoded(quarters(), "JPEG"))
    assert photograph.camera == CameraSettings()
    assert (photograph.creator, photograph.copyright) == (None, None)


@pytest.mark.parametrize("gps", [{}, {29: "2026:01:01"}])
def test_a_gps_directory_without_a_position_does_not_count(tmp_path, gps):
    assert _camera(tmp_path, main={_MAKE: "Maker"}, gps=gps).has_gps is False


def test_a_position_in_xmp_counts(tmp_path):
    packet = (
        b"<x:xmpmeta xmlns:x='adobe:ns:meta/'><rdf:RDF "
        b"xmlns:rdf='http://www.w3.org/1999/02/22-rdf-syntax-ns#'><rdf:Description "
        b"xmlns:exif='http://ns.adobe.com/exif/1.0/' exif:GPSLatitude='48,12.5N'/>"
        b"</rdf:RDF></x:xmpmeta>"
    )
    assert read(tmp_path, encoded(quarters(), "JPEG", xmp=packet)).camera.has_gps is True


def test_a_block_that_piexif_refuses_cannot_hide_a_position(tmp_path):
    block = bytearray(
        _exif(main={_MAKE: "A maker"}, gps={2: (48.0, 12.0, 30.0), 4: (16.0, 22.0, 0.0)})
    )
    # Field type 99 does not exist.
    order = "little" if block[6:8] == b"II" else "big"
    entry = block.index(_MAKE.to_bytes(2, order), 14)
    block[entry + 2 : entry + 4] = (99).to_bytes(2, order)
    camera = read(tmp_path, encoded(quarters(), "JPEG", exif=bytes(block))).camera
    assert camera == CameraSettings(has_gps=True)


@pytest.mark.parametrize("count", [0xFFFFFFFF, 0x10000000, 100_000])
def test_a_count_of_gigabytes_is_not_trusted(tmp_path, count):
    block = bytearray(piexif.dump({"0th": {_MAKE: b"A maker"}, "Exif": {_ISO: 400}}))
    entry = block.index(_MAKE.to_bytes(2, "big"), 14)
    block[entry + 4 : entry + 8] = count.to_bytes(4, "big")
    assert read(tmp_path, encoded(quarters(), "JPEG", exif=bytes(block))).camera == CameraSettings()


@pytest.mark.parametrize("tag", [0x8769, 0x8825])
def test_directories_that_point_to_each_other(tmp_path, tag):
    block = bytearray(piexif.dump({"Exif": {_ISO: 400}, "GPS": {2: ((1, 1), (2, 1), (3, 1))}}))
    entry = block.index(tag.to_bytes(2, "big"), 14)
    block[entry + 8 : entry + 12] = (8).to_bytes(4, "big")
    camera = read(tmp_path, encoded(quarters(), "JPEG", exif=bytes(block))).camera
    assert camera.iso is None


def test_no_position_serial_number_or_owner_is_kept(tmp_path):
    body_serial, owner, lens_serial, unique_id = 0xA431, 0xA430, 0xA435, 0xA420
    data = encoded(
        quarters(),
        "JPEG",
        exif=_exif(
            main={_MAKE: "Maker"},
            photo={
                body_serial: "SN-SECRET-1",
                owner: "SECRET OWNER",
                lens_serial: "SN-SECRET-2",
                unique_id: "SECRETID",
            },
            gps={2: (48.0, 12.0, 34.5), 4: (16.0, 22.0, 0.0)},
        ),
    )
    photograph = read(tmp_path, data)
    words = repr(dataclasses.replace(photograph, pixels=None, detail=None))
    assert "SECRET" not in words
    assert "48" not in words.replace(photograph.sha256, "")
    assert photograph.camera.has_gps


@pytest.mark.parametrize(
    ("date", "expected"),
    [
        ("2026:01:02 03:04:05", "2026-01-02T03:04:05"),
        ("0000:00:00 00:00:00", None),
        ("    :  :     :  :  ", None),
        ("2026-01-02", None),
        ("2026:13:40 03:04:05", None),
    ],
)
def test_the_time_is_iso_8601_or_none(tmp_path, date, expected):
    assert _camera(tmp_path, photo={_ORIGINAL: date}).taken == expected


def test_the_date_of_change_replaces_a_missing_original_date(tmp_path):
    camera = _camera(tmp_path, main={_DATE_TIME: "2026:01:02 03:04:05"})
    assert camera.taken == "2026-01-02T03:04:05"


def test_rationals_without_a_denominator_are_unknown(tmp_path):
    camera = _piexif_camera(
        tmp_path,
        {_EXPOSURE_TIME: (1, 0), _F_NUMBER: (0, 0), _FOCAL_LENGTH: (0, 1), _FOCAL_LENGTH_35MM: 0},
    )
    assert camera == CameraSettings()


def test_apex_values_replace_missing_time_and_aperture(tmp_path):
    # CIPA DC-008 annex C: Tv 7 is 1/128 s, Av 5 is f/5.66; Tv -2 is 4 s
    camera = _piexif_camera(tmp_path, {_SHUTTER_SPEED: (7, 1), _APERTURE: (5, 1)})
    assert camera.exposure_time_s == pytest.approx(1 / 128)
    assert camera.f_number == pytest.approx(math.sqrt(32))
    assert _piexif_camera(tmp_path, {_SHUTTER_SPEED: (-2, 1)}).exposure_time_s == 4
    assert _piexif_camera(tmp_path, {_SHUTTER_SPEED: (9999, 1)}).exposure_time_s is None


def test_a_speed_beyond_16_bits_is_read_from_its_own_tag(tmp_path):
    recommended_exposure_index = 0x8832
    photo = {_ISO: 65535, recommended_exposure_index: 102400}
    assert _piexif_camera(tmp_path, photo).iso == 102400
    assert _piexif_camera(tmp_path, {_ISO: (200, 0)}).iso == 200


def _focal_plane(width_px, height_px, sensor_mm, unit):
    per_unit = {2: 25.4, 3: 10.0}[unit]
    resolutions = [
        (round(pixels / side * per_unit * 1000), 1000)
        for pixels, side in zip((width_px, height_px), sensor_mm, strict=True)
    ]
    return {
        _FOCAL_LENGTH: (50, 1),
        0xA002: width_px,
        0xA003: height_px,
        0xA20E: resolutions[0],
        0xA20F: resolutions[1],
        0xA210: unit,
    }


@pytest.mark.parametrize(
    ("sensor_mm", "unit", "expected_mm"),
    [
        ((36.0, 24.0), 2, 50.0),
        ((22.3, 14.9), 2, 50 * 43.267 / 26.82),
        ((17.3, 13.0), 3, 50 * 43.267 / 21.64),
    ],
)
def test_35mm_equivalent_from_the_focal_plane(tmp_path, sensor_mm, unit, expected_mm):
    """The ratio of the diagonals, 43.27 mm being that of 36 by 24 mm."""
    camera = _piexif_camera(tmp_path, _focal_plane(6000, 4000, sensor_mm, unit))
    assert camera.focal_length_35mm == pytest.approx(expected_mm, rel=1e-3)


def test_a_resized_file_does_not_seem_to_have_a_small_sensor(tmp_path):
    """An export to 2048 px keeps the resolution: 12.3 by 8.2 mm, a size that nobody makes."""
    fields = _focal_plane(6000, 4000, (36.0, 24.0), 2) | {0xA002: 2048, 0xA003: 1365}
    assert _piexif_camera(tmp_path, fields).focal_length_35mm is None


def test_broken_focal_plane_fields_are_unknown(tmp_path):
    for change in ({0xA20E: (0, 0)}, {0xA210: 7}, {0xA002: 0}):
        fields = _focal_plane(6000, 4000, (36.0, 24.0), 2) | change
        assert _piexif_camera(tmp_path, fields).focal_length_35mm is None


@pytest.mark.parametrize(
    ("value", "expected"),
    [
        (b"Maker\0", "Maker"),
        (b"  Caf\xc3\xa9  \0\0", "Caf\u00e9"),
        (b"Caf\xe9", "Caf\u00e9"),
        (b"\0\0\0", None),
        (b"line\nbreak\x07", "linebreak"),
        (b"A\0B\0", "A, B"),
        (None, None),
        (17, None),
    ],
)
def test_text_is_decoded_and_cleaned(value, expected):
    assert text(value) == expected


def test_text_of_any_length_is_cut():
    assert len(text(b"x" * 100_000)) == 300


@pytest.mark.parametrize("value", [None, 5, (1, 0), (0, 5), (-1, 5), (1,), (1, 2, 3), b"12"])
def test_only_a_positive_rational_is_a_number(value):
    assert positive(value) is None


@pytest.mark.parametrize("kind", _CONTAINERS)
def test_creator_and_copyright_from_exif(tmp_path, kind):
    exif = _exif(main={_ARTIST: "A. Photographer", _COPYRIGHT: "2026 A. Photographer"})
    photograph = read(tmp_path, encoded(quarters(), kind, exif=exif))
    assert photograph.creator == "A. Photographer"
    assert photograph.copyright == "2026 A. Photographer"


_DUBLIN_CORE = (
    "<x:xmpmeta xmlns:x='adobe:ns:meta/'><rdf:RDF "
    "xmlns:rdf='http://www.w3.org/1999/02/22-rdf-syntax-ns#'><rdf:Description "
    "xmlns:dc='http://purl.org/dc/elements/1.1/'><dc:creator><rdf:Seq><rdf:li>B. Maker</rdf:li>"
    "</rdf:Seq></dc:creator><dc:rights><rdf:Alt><rdf:li xml:lang='x-default'>© B. Maker</rdf:li>"
    "</rdf:Alt></dc:rights></rdf:Description></rdf:RDF></x:xmpmeta>"
).encode()


@pytest.mark.parametrize("kind", ["JPEG", "WEBP", "AVIF", "PNG", "TIFF"])
def test_creator_and_copyright_from_xmp(tmp_path, kind):
    options = {"xmp": _DUBLIN_CORE}
    if kind == "PNG":
        from PIL.PngImagePlugin import PngInfo

        info = PngInfo()
        info.add_itxt("XML:com.adobe.xmp", _DUBLIN_CORE.decode())
        options = {"pnginfo": info}
    elif kind == "TIFF":
        options = {"tiffinfo": {700: _DUBLIN_CORE}}
    photograph = read(tmp_path, encoded(quarters(), kind, **options))
    assert (photograph.creator, photograph.copyright) == ("B. Maker", "© B. Maker")


def _iim(*datasets):
    """IPTC-IIM 4.2, section 1.6."""
    return b"".join(
        b"\x1c" + bytes(key) + len(content).to_bytes(2, "big") + content
        for key, content in datasets
    )


def test_creator_and_copyright_from_iptc_in_jpeg_and_tiff(tmp_path):
    block = _iim(((2, 0), b"\0\4"), ((2, 80), b"C. Maker"), ((2, 116), "© C.".encode()))
    resource = (
        b"8BIM\x04\x04\0\0" + len(block).to_bytes(4, "big") + block + b"\0" * (len(block) % 2)
    )
    content = b"Photoshop 3.0\0" + resource
    segment = b"\xff\xed" + (len(content) + 2).to_bytes(2, "big") + content
    jpeg = encoded(quarters(), "JPEG")
    tiff = encoded(quarters(), "TIFF", tiffinfo={33723: block})
    for data in (jpeg[:2] + segment + jpeg[2:], tiff):
        photograph = read(tmp_path, data)
        assert (photograph.creator, photograph.copyright) == ("C. Maker", "© C.")


def test_iptc_with_wrong_lengths_does_no_harm(tmp_path):
    for block in (b"\x1c\x02\x50\xff\xff" + b"x" * 9, b"\x1c\x02\x50\x80\x04\xff\xff\xff\xffx"):
        read(tmp_path, encoded(quarters(), "TIFF", tiffinfo={33723: block}))


def _photo(width, height):
    return {piexif.ExifIFD.PixelXDimension: width, piexif.ExifIFD.PixelYDimension: height}


@pytest.mark.parametrize(
    ("written", "stored", "orientation", "ratio"),
    [
        ((6000, 4000), (3200, 4000), 1, 1.5),  # cropped to 4:5
        ((6000, 4000), (4000, 3200), 6, 1 / 1.5),  # the same, turned for display
        ((6000, 4000), (4000, 2250), 1, 1.5),  # cropped to 16:9
        ((6000, 4000), (1500, 1000), 1, None),  # reduced
        ((6000, 4000), (1000, 1500), 1, None),  # reduced, its pixels turned
        ((3200, 4000), (3200, 4000), 1, None),  # the size is the picture's own
        ((160, 120), (3200, 4000), 1, None),  # the size of something smaller
        ((0, 4000), (3200, 4000), 1, None),
    ],
)
def test_the_frame_as_exposed_is_told_if_the_picture_was_cropped(
    written, stored, orientation, ratio
):
    fields = ExifFields(photo=_photo(*written))
    assert exposed_ratio(fields, stored, orientation) == pytest.approx(ratio)


def test_the_frame_as_exposed_is_read_from_a_file(tmp_path):
    camera = _piexif_camera(tmp_path, _photo(6000, 2000))
    assert camera.exposed_ratio == pytest.approx(3)
