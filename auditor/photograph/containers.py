"""The outermost structure of a file: its kind, its declared size, whether its end is missing.

It is read to explain to the photographer why a picture could not be decoded; Pillow does the
decoding itself.
"""

from __future__ import annotations

import struct
import zlib
from collections.abc import Iterator

from auditor.photograph.file_bytes import Content, FileBytes

# Kinds by the names that Pillow uses; pillow-heif reads HEIF.
JPEG, PNG, TIFF, WEBP, AVIF, HEIF = "JPEG", "PNG", "TIFF", "WEBP", "AVIF", "HEIF"

HEAD_BYTES = 256  # enough to recognise the kind of a file

# First bytes of pictures that are not read here, so that the message can name them.
_FOREIGN = (
    (b"GIF8", "GIF"),
    (b"BM", "BMP"),
    (b"8BPS", "layered PSD"),
    (b"%PDF", "PDF"),
    (b"\xff\x0a", "JPEG XL"),
    (b"\x00\x00\x00\x0cJXL ", "JPEG XL"),
    (b"\x00\x00\x00\x0cjP  ", "JPEG 2000"),
    (b"FUJIFILMCCD-RAW", "camera raw"),
    (b"IIU\x00", "camera raw"),
    (b"IIRO", "camera raw"),
)
# ISO/IEC 14496-12 brands: AVIF 1.1, ISO/IEC 23008-12 annex B; ``crx`` is a camera's own raw.
_AVIF_BRANDS = frozenset((b"avif", b"avis"))
_HEIF_BRANDS = frozenset((b"heic", b"heix", b"hevc", b"hevx", b"heim", b"heis", b"mif1", b"msf1"))
_RAW_BRANDS = frozenset((b"crx ",))

_PNG_HEAD = 8  # bytes before the first chunk

_TIFF_HEADS = {b"II*\x00": "<", b"MM\x00*": ">"}
_TIFF_WIDTH, _TIFF_HEIGHT = 256, 257
_TIFF_TYPES = {3: "H", 4: "L"}  # SHORT and LONG, the only types allowed for the two

# Start-of-frame markers of ITU-T T.81 table B.1: C4, C8 and CC in that range are not frames.
_JPEG_FRAMES = frozenset(range(0xC0, 0xD0)) - {0xC4, 0xC8, 0xCC}
_JPEG_SCAN = 0xDA
_JPEG_WITHOUT_LENGTH = frozenset((0x01, *range(0xD0, 0xD9)))


def recognise(data: bytes) -> str | None:
    """Kind of picture by its first bytes; None if it is no kind that is read here."""
    if data.startswith(b"\xff\xd8\xff"):
        return JPEG
    if data.startswith(b"\x89PNG\r\n\x1a\n"):
        return PNG
    if data[:4] in (*_TIFF_HEADS, b"II+\x00", b"MM\x00+"):
        return TIFF
    if data[:4] == b"RIFF" and data[8:12] == b"WEBP":
        return WEBP
    brands = _brands(data)
    if brands & _AVIF_BRANDS:
        return AVIF
    return HEIF if brands & _HEIF_BRANDS else None


def recognise_foreign(data: bytes) -> str | None:
    """Name of a kind of picture that is not read here; None if the file is not a picture."""
    if _brands(data) & _RAW_BRANDS:
        return "camera raw"
    return next((name for head, name in _FOREIGN if data.startswith(head)), None)


def declared_size_px(data: Content, kind: str) -> tuple[int, int] | None:
    """Width and height that the header declares; None if they cannot be found."""
    try:
        if kind == TIFF:
            return _tiff_size_px(data)
        if isinstance(data, FileBytes):
            return None
        if kind == PNG and data[12:16] == b"IHDR":
            width, height = struct.unpack(">II", data[16:24])
            return (width, height)
        if kind == JPEG:
            return _jpeg_size_px(data)
        if kind == WEBP:
            return _webp_size_px(data)
    except struct.error:
        return None
    return None


def is_cut_short(data: Content, kind: str) -> bool:
    """True if the container announces more bytes than the file has.

    A TIFF may keep its parts in any order, so only a directory beyond the end of the file shows it.
    """
    if kind == TIFF:
        has_offset = data[:4] in _TIFF_HEADS
        return has_offset and (len(data) < 8 or _tiff_directory_offset(data) + 2 > len(data))
    if isinstance(data, FileBytes):
        return False
    if kind == JPEG:
        return b"\xff\xd9" not in data
    if kind == PNG:
        return b"IEND" not in data[-12:]
    if kind == WEBP:
        return int.from_bytes(data[4:8], "little") + 8 > len(data)
    if kind in (AVIF, HEIF):
        return any(end > len(data) for _, end in _boxes(data))
    return False


def has_sound_checksums(data: Content, kind: str) -> bool:
    """True if the chunks that a PNG needs are as they were written; True for other kinds.

    Pillow does not check the checksums of the pixel data, so damage there would go unnoticed.
    A chunk that is cut off counts as sound here: `is_cut_short` detects it.
    """
    if kind != PNG or isinstance(data, FileBytes):
        return True
    view = memoryview(data)  # a slice of it copies nothing
    return all(
        zlib.crc32(view[start + 4 : end - 4]) == int.from_bytes(view[end - 4 : end], "big")
        for start, end in _critical_png_chunks(data)
        if end <= len(data)
    )


def has_jpeg_several_scans(data: bytes) -> bool:
    """True if the first scan of a JPEG lacks components, so that others follow (T.81, B.2.3)."""
    n_components = 0
    for marker, place in _jpeg_segments(data):
        if marker in _JPEG_FRAMES:
            n_components = int.from_bytes(data[place + 7 : place + 8], "big")
        if marker == _JPEG_SCAN:
            return int.from_bytes(data[place + 2 : place + 3], "big") < n_components
    return False


def png_without_metadata(data: bytes) -> bytes:
    """A PNG with nothing but the chunks that its pixels need."""
    return data[:_PNG_HEAD] + b"".join(data[slice(*span)] for span in _critical_png_chunks(data))


def png_chunks(data: bytes) -> Iterator[tuple[bytes, bytes]]:
    """Name and content of each chunk of a PNG that is in the file whole."""
    for start, end in _png_chunk_spans(data):
        if end <= len(data):
            yield data[start + 4 : start + 8], data[start + 8 : end - 4]


def _critical_png_chunks(data: bytes) -> Iterator[tuple[int, int]]:
    """Start and end of each chunk that a decoder must know (ISO/IEC 15948 sections 5.3, 5.4)."""
    for start, end in _png_chunk_spans(data):
        if not data[start + 4] & 0x20:  # the first letter of its name is upper case
            yield start, end


def _png_chunk_spans(data: bytes) -> Iterator[tuple[int, int]]:
    start = _PNG_HEAD
    while start + 12 <= len(data):
        end = start + 12 + int.from_bytes(data[start : start + 4], "big")
        yield start, end
        start = end


def _brands(data: bytes) -> frozenset[bytes]:
    """Major and compatible brands of an ISO base media file; empty for anything else."""
    if data[4:8] != b"ftyp":
        return frozenset()
    end = min(int.from_bytes(data[:4], "big"), len(data), 256)
    return frozenset(data[i : i + 4] for i in (8, *range(16, end, 4)))


def _boxes(data: bytes) -> Iterator[tuple[int, int]]:
    """Start and end of each outermost box of an ISO base media file (ISO/IEC 14496-12, 4.2)."""
    start = 0
    while start < len(data):
        size = int.from_bytes(data[start : start + 4], "big")
        if size == 1:
            size = int.from_bytes(data[start + 8 : start + 16], "big")
        end = len(data) if size == 0 else start + max(size, 8)
        yield start, end
        start = end


def _jpeg_segments(data: bytes) -> Iterator[tuple[int, int]]:
    """Marker and place of the length of each segment of a JPEG, up to its first scan."""
    position = 2
    while position + 4 <= len(data) and data[position] == 0xFF:
        marker = data[position + 1]
        if marker in _JPEG_WITHOUT_LENGTH or marker == 0xFF:
            position += 1 if marker == 0xFF else 2
            continue
        yield marker, position + 2
        if marker == _JPEG_SCAN:
            return
        position += 2 + int.from_bytes(data[position + 2 : position + 4], "big")


def _jpeg_size_px(data: bytes) -> tuple[int, int] | None:
    for marker, place in _jpeg_segments(data):
        if marker in _JPEG_FRAMES:
            height, width = struct.unpack(">HH", data[place + 3 : place + 7])
            return (width, height)
    return None


def _webp_size_px(data: bytes) -> tuple[int, int] | None:
    """RFC 9649: sections 2.5 (lossy, RFC 6386 section 9.1), 2.6 (without loss), 2.7 (extended)."""
    if data[12:16] == b"VP8 ":
        width, height = struct.unpack("<HH", data[26:30])
        return (width & 0x3FFF, height & 0x3FFF)  # 14 bits each
    if data[12:16] == b"VP8L":
        (bits,) = struct.unpack("<I", data[21:25])
        return ((bits & 0x3FFF) + 1, (bits >> 14 & 0x3FFF) + 1)
    if data[12:16] == b"VP8X" and len(data) >= 30:
        sides = (int.from_bytes(data[place : place + 3], "little") for place in (24, 27))
        return (next(sides) + 1, next(sides) + 1)
    return None


def _tiff_directory_offset(data: Content) -> int:
    return int.from_bytes(data[4:8], "little" if data[:2] == b"II" else "big")


def _tiff_size_px(data: Content) -> tuple[int, int] | None:
    endian = _TIFF_HEADS.get(data[:4])
    if endian is None:
        return None
    offset = _tiff_directory_offset(data)
    (n_entries,) = struct.unpack(endian + "H", data[offset : offset + 2])
    sides: dict[int, int] = {}
    for start in range(offset + 2, offset + 2 + 12 * n_entries, 12):
        tag, kind = struct.unpack(endian + "HH", data[start : start + 4])
        if tag in (_TIFF_WIDTH, _TIFF_HEIGHT) and kind in _TIFF_TYPES:
            code = endian + _TIFF_TYPES[kind]
            (sides[tag],) = struct.unpack(code, data[start + 8 : start + 8 + struct.calcsize(code)])
    if _TIFF_WIDTH not in sides or _TIFF_HEIGHT not in sides:
        return None
    return (sides[_TIFF_WIDTH], sides[_TIFF_HEIGHT])
