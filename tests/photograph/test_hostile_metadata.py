"""Metadata made to do harm, or of a wrong kind, cost themselves and not the picture."""

import io

import numpy as np
import pytest
from PIL import Image, PngImagePlugin

from auditor.delivery.file_facts import facts_of
from auditor.errors import UnreadablePictureError
from auditor.photograph import pillow_limits
from tests.photograph.icc_profiles import profile_of
from tests.photograph.pictures import encoded, quarters, read, with_checksums

RDF = b"http://www.w3.org/1999/02/22-rdf-syntax-ns#"
DC = b"http://purl.org/dc/elements/1.1/"
CLASS_AT, SPACE_AT = 12, 16  # ICC.1:2022, table 17


def _packet(content, before=b""):
    return (
        before
        + b"<x:xmpmeta xmlns:x='adobe:ns:meta/'><rdf:RDF xmlns:rdf='"
        + RDF
        + b"'><rdf:Description xmlns:dc='"
        + DC
        + b"'>"
        + content
        + b"</rdf:Description></rdf:RDF></x:xmpmeta>"
    )


def _profile(at, value):
    icc = bytearray(profile_of("Display P3"))
    icc[at : at + 4] = value
    return bytes(icc)


def _with(kind="JPEG", **options):
    return encoded(quarters(), kind, **options)


def _is_unchanged(photograph):
    return np.array_equal(photograph.pixels, np.asarray(quarters()))


@pytest.mark.parametrize("kind", [b"link", b"abst", b"nmcl", b"xxxx"])
def test_a_profile_that_is_none_of_pictures_is_not_applied(tmp_path, kind):
    data = _with("PNG", icc_profile=_profile(CLASS_AT, kind))
    photograph = read(tmp_path, data)
    assert photograph.colour_profile == "unreadable profile, sRGB assumed"
    assert _is_unchanged(photograph)
    assert facts_of(data).has_unreadable_profile == (kind != b"abst")  # as CIELAB may be written


@pytest.mark.parametrize("space", [b"GRAY", b"CMYK", b"Lab ", b"XYZ ", b"2CLR", b"\0\0\0\0"])
def test_a_profile_of_another_colour_space_is_not_applied(tmp_path, space):
    photograph = read(tmp_path, _with("PNG", icc_profile=_profile(SPACE_AT, space)))
    assert photograph.colour_profile == "Display P3 (does not fit the picture), sRGB (assumed)"
    assert _is_unchanged(photograph)


@pytest.mark.parametrize("length", [1, 127, 200])
def test_a_profile_that_is_cut_off_is_not_applied(tmp_path, length):
    data = _with("PNG", icc_profile=profile_of("Display P3")[:length])
    assert read(tmp_path, data).colour_profile == "unreadable profile, sRGB assumed"
    assert facts_of(data).has_unreadable_profile


def test_entities_are_not_expanded(tmp_path):
    levels = b"".join(
        b"<!ENTITY l%d '%s'>" % (n, (b"&l%d;" % (n - 1)) * 10 if n else b"lol") for n in range(9)
    )
    before = b"<?xml version='1.0'?><!DOCTYPE x [" + levels + b"]>"
    data = _with(xmp=_packet(b"<dc:creator>&l8;</dc:creator>", before))
    assert read(tmp_path, data).creator is None
    assert facts_of(data).metadata.is_broken


def test_no_other_file_is_read(tmp_path):
    (tmp_path / "secret.txt").write_text("SECRET")
    place = (tmp_path / "secret.txt").as_uri().encode()
    before = b"<?xml version='1.0'?><!DOCTYPE x [<!ENTITY e SYSTEM '" + place + b"'>]>"
    data = _with(xmp=_packet(b"<dc:creator>&e;</dc:creator>", before))
    photograph = read(tmp_path, data)
    assert photograph.creator is None
    assert "SECRET" not in repr(photograph)


@pytest.mark.parametrize("closed", [True, False])
def test_xml_of_any_depth(tmp_path, closed):
    depth = 50_000
    content = b"<a>" * depth + b"</a>" * (depth if closed else 0)
    data = _with("WEBP", lossless=True, xmp=_packet(b"<dc:creator>A</dc:creator>" + content))
    photograph = read(tmp_path, data)
    assert photograph.creator == ("A" if closed else None)
    assert _is_unchanged(photograph)


def _png_with_xmp(n_bytes, *, packed):
    info = PngImagePlugin.PngInfo()
    packet = _packet(b"<dc:creator>A</dc:creator><b>" + b"x" * n_bytes + b"</b>")
    info.add_itxt("XML:com.adobe.xmp", packet.decode(), zip=packed)
    return _with("PNG", pnginfo=info)


@pytest.mark.parametrize("packed", [True, False])
def test_a_png_with_a_large_xmp_packet_is_read_with_it(tmp_path, packed):
    photograph = read(tmp_path, _png_with_xmp(2_500_000, packed=packed))
    assert photograph.creator == "A"
    assert _is_unchanged(photograph)


def test_a_png_with_a_large_profile_is_read_with_it(tmp_path):
    icc = profile_of("Adobe RGB (1998)")
    wide = read(tmp_path, _with("PNG", icc_profile=icc))
    padded = read(tmp_path, _with("PNG", icc_profile=icc + bytes(3_000_000)))
    assert padded.colour_profile == wide.colour_profile == "Adobe RGB (1998)"
    assert np.array_equal(padded.pixels, wide.pixels)


def test_the_limits_of_other_programs_stay_as_they_were(tmp_path, monkeypatch):
    before = PngImagePlugin.MAX_TEXT_CHUNK, Image.MAX_IMAGE_PIXELS
    read(tmp_path, _png_with_xmp(2_500_000, packed=True))
    assert before == (PngImagePlugin.MAX_TEXT_CHUNK, Image.MAX_IMAGE_PIXELS)
    monkeypatch.setattr(pillow_limits, "LARGEST_PNG_TEXT_BYTES", 1_000_000)
    with pytest.raises(UnreadablePictureError):
        read(tmp_path, _png_with_xmp(2_500_000, packed=True))
    with Image.open(io.BytesIO(_with("PNG"))) as image:
        image.load()


def test_a_size_that_cannot_be_true_is_told_as_what_the_file_says(tmp_path):
    data = bytearray(_with("PNG"))
    data[16:24] = b"\0\0\xff\xff" * 2
    with pytest.raises(UnreadablePictureError) as caught:
        read(tmp_path, with_checksums(bytes(data)))
    assert "The file says that the picture is 65535 by 65535 pixels" in caught.value.message
