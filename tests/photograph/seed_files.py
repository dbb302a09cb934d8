"""Small good files of every format that is read, to be damaged."""

from __future__ import annotations

import struct
from functools import cache
from importlib.util import find_spec
from pathlib import Path

import numpy as np
from PIL import Image

from tests.photograph.icc_profiles import profile_of
from tests.photograph.pictures import encoded, png_of, tiff_of

PICTURE = Path(__file__).parents[2] / "fixtures" / "teahouse" / "03-clementine-bowl.jpg"

_XMP = b"""<?xpacket begin='' id=''?><x:xmpmeta xmlns:x='adobe:ns:meta/'><rdf:RDF
 xmlns:rdf='http://www.w3.org/1999/02/22-rdf-syntax-ns#'
 xmlns:dc='http://purl.org/dc/elements/1.1/'
 xmlns:mwg='http://www.metadataworkinggroup.com/schemas/regions/'
 xmlns:a='http://ns.adobe.com/xmp/sType/Area#'><rdf:Description>
 <dc:creator><rdf:Seq><rdf:li>A. Person</rdf:li></rdf:Seq></dc:creator>
 <mwg:Regions rdf:parseType='Resource'><mwg:RegionList><rdf:Bag>
 <rdf:li rdf:parseType='Resource'><mwg:Name>bowl</mwg:Name>
 <mwg:Area a:x='0.5' a:y='0.5' a:w='0.3' a:h='0.3'/></rdf:li>
 </rdf:Bag></mwg:RegionList></mwg:Regions></rdf:Description></rdf:RDF></x:xmpmeta>
<?xpacket end='w'?>"""
_IPTC = b"".join(
    b"\x1c\x02" + bytes((number,)) + struct.pack(">H", len(content)) + content
    for number, content in ((80, b"A. Person"), (116, b"2026 A. Person"), (25, b"citrus"))
)


def _exif(orientation: int = 1) -> Image.Exif:
    exif = Image.Exif()
    exif[0x010F], exif[0x0110], exif[0x0112] = "A maker", "A camera", orientation
    photo = exif.get_ifd(0x8769)
    photo[0x829A], photo[0x829D], photo[0x8827] = (1, 125), (28, 10), 200
    photo[0x9003], photo[0x920A], photo[0xA405] = "2026:01:02 10:20:30", (50, 1), 75
    photo[0x9214], photo[0xA001] = (240, 160, 120, 100), 1
    exif.get_ifd(0x8825).update({1: "N", 2: (48.0, 12.0, 30.0), 3: "E", 4: (16.0, 22.0, 0.0)})
    return exif


def _with_iptc(jpeg: bytes) -> bytes:
    block = b"8BIM\x04\x04\0\0" + struct.pack(">I", len(_IPTC)) + _IPTC + b"\0" * (len(_IPTC) % 2)
    content = b"Photoshop 3.0\0" + block
    return jpeg[:2] + b"\xff\xed" + struct.pack(">H", len(content) + 2) + content + jpeg[2:]


def _deep_png(picture: Image.Image) -> bytes:
    samples = np.asarray(picture).astype(np.uint16) * 257
    rows = b"".join(b"\0" + row.astype(">u2").tobytes() for row in samples)
    return png_of(*picture.size, rows, bits=16)


@cache
def seed_files(long_side_px: int = 420) -> dict[str, bytes]:
    """Good files, by a name that ends as their kind does.

    Parameters
    ----------
    long_side_px : int
        Of the picture in all of them.
    """
    with Image.open(PICTURE) as opened:
        picture = opened.convert("RGB")
    picture.thumbnail((long_side_px, long_side_px))
    half = picture.resize((picture.width // 2, picture.height // 2))
    metadata = {"exif": _exif(6), "xmp": _XMP, "icc_profile": profile_of("Display P3")}
    samples = np.asarray(picture)
    files = {
        "baseline.jpg": encoded(picture, "JPEG", quality=85),
        "progressive.jpg": encoded(picture, "JPEG", quality=85, progressive=True),
        "restarts.jpg": encoded(picture, "JPEG", quality=80, restart_marker_rows=2),
        "cmyk.jpg": encoded(picture.convert("CMYK"), "JPEG", quality=85),
        "grey.jpg": encoded(picture.convert("L"), "JPEG", quality=85),
        "metadata.jpg": _with_iptc(encoded(picture, "JPEG", quality=85, **metadata)),
        "stereo.mpo": encoded(
            picture, "MPO", save_all=True, append_images=[half.copy()], exif=_exif(), quality=85
        ),
        "rgb.png": encoded(picture, "PNG", exif=_exif(6)),
        "deep.png": _deep_png(half),
        "deep grey.png": encoded(
            Image.fromarray(np.asarray(half.convert("L")).astype(np.uint16) * 257), "PNG"
        ),
        "palette.png": encoded(picture.quantize(64), "PNG", transparency=0),
        "one bit.png": encoded(picture.convert("1"), "PNG"),
        "alpha.png": encoded(picture.convert("RGBA"), "PNG", **metadata),
        "animated.png": encoded(picture, "PNG", save_all=True, append_images=[picture.rotate(9)]),
        "plain.tif": encoded(picture, "TIFF", exif=_exif(6)),
        "lzw.tif": encoded(picture, "TIFF", compression="tiff_lzw", exif=_exif(3)),
        "deflate.tif": encoded(picture, "TIFF", compression="tiff_adobe_deflate"),
        "jpeg.tif": encoded(picture, "TIFF", compression="jpeg"),
        "packbits.tif": encoded(picture, "TIFF", compression="packbits"),
        "fax.tif": encoded(picture.convert("1"), "TIFF", compression="group4"),
        "cmyk.tif": encoded(picture.convert("CMYK"), "TIFF", compression="tiff_lzw"),
        "lab.tif": encoded(picture.convert("LAB"), "TIFF"),
        "deep.tif": tiff_of(samples[::2, ::2].astype(np.uint16) * 257, photometric=2),
        "float.tif": tiff_of(
            (samples[::2, ::2, 1:2] / 255).astype(np.float32), photometric=1, order=">"
        ),
        "pages.tif": encoded(
            # Pillow keeps the settings of an earlier JPEG with the picture.
            picture.copy(),
            "TIFF",
            compression="tiff_lzw",
            save_all=True,
            append_images=[half.copy()],
        ),
        "lossy.webp": encoded(picture, "WEBP", quality=80, **metadata),
        "lossless.webp": encoded(picture, "WEBP", lossless=True),
        "alpha.webp": encoded(picture.convert("RGBA"), "WEBP", quality=80),
        "animated.webp": encoded(
            picture, "WEBP", save_all=True, append_images=[picture.rotate(9)], quality=80
        ),
        "colour.avif": encoded(picture, "AVIF", quality=70, **metadata),
        "alpha.avif": encoded(picture.convert("RGBA"), "AVIF", quality=70),
        "animated.avif": encoded(
            half, "AVIF", save_all=True, append_images=[half.rotate(9)], quality=70
        ),
    }
    if find_spec("pillow_heif") is not None:
        files["colour.heic"] = _heic(picture)
    return files


def _heic(picture: Image.Image) -> bytes:
    import io

    import pillow_heif

    stream = io.BytesIO()
    pillow_heif.from_pillow(picture).save(stream, quality=70, exif=_exif(6).tobytes(), xmp=_XMP)
    return stream.getvalue()
