"""Write large pictures row by row, so that the maker needs little memory itself."""

from __future__ import annotations

import struct
import zlib
from pathlib import Path
from typing import IO

import numpy as np
from numpy.typing import NDArray

from tests.photograph.pictures import png_chunk

_COLOUR_TYPES = {1: 0, 3: 2, 4: 6}  # ISO/IEC 15948, table 11.1
_ROWS_AT_ONCE = 100
_GAMMA_UNIT = 100_000
_ADLER_MODULUS = 65_521  # RFC 1950, section 9


def write_png(
    path: Path, size: tuple[int, int], n_channels: int, *, bits: int = 8, gamma: float | None = None
) -> None:
    """A PNG of a repeated pattern of plain blocks; it compresses to a thousandth."""
    width, height = size
    header = struct.pack(">IIBBBBB", width, height, bits, _COLOUR_TYPES[n_channels], 0, 0, 0)
    compressor = zlib.compressobj(9)
    with path.open("wb") as stream:
        stream.write(b"\x89PNG\r\n\x1a\n" + png_chunk(b"IHDR", header))
        if gamma is not None:
            stream.write(png_chunk(b"gAMA", struct.pack(">I", round(gamma * _GAMMA_UNIT))))
        rows = _pattern(width, n_channels, bits, order=">")
        as_bytes = rows.reshape(len(rows), -1).view(np.uint8)
        block = np.concatenate([np.zeros((len(rows), 1), np.uint8), as_bytes], axis=1)
        for top in range(0, height, len(rows)):
            content = compressor.compress(block[: height - top].tobytes())
            if content:
                stream.write(png_chunk(b"IDAT", content))
        stream.write(png_chunk(b"IDAT", compressor.flush()) + png_chunk(b"IEND", b""))


def write_black_png(path: Path, side_px: int) -> None:
    """A square PNG of four channels of 16 bits, all zero; made without compressing all of it."""
    row = bytes(1 + side_px * 8)
    compressor = zlib.compressobj(9, wbits=-15)
    # After a full flush nothing refers to what was before, so that the same bytes can follow.
    rows = compressor.compress(row) + compressor.flush(zlib.Z_FULL_FLUSH)
    n_bytes = side_px * len(row)
    checksum = struct.pack(">HH", n_bytes % _ADLER_MODULUS, 1)
    end = zlib.compressobj(9, wbits=-15).flush()
    content = b"\x78\xda" + rows * side_px + end + checksum
    header = struct.pack(">IIBBBBB", side_px, side_px, 16, 6, 0, 0, 0)
    chunks = (png_chunk(b"IHDR", header), png_chunk(b"IDAT", content), png_chunk(b"IEND", b""))
    path.write_bytes(b"\x89PNG\r\n\x1a\n" + b"".join(chunks))


def write_tiff(
    path: Path,
    size: tuple[int, int],
    *,
    bits: int = 8,
    orientation: int = 1,
    compressed: bool = False,
    rows_per_strip: int = _ROWS_AT_ONCE,
) -> None:
    """An RGB TIFF 6.0 of a repeated pattern of plain blocks, in strips."""
    width, height = size
    rows = _pattern(width, 3, bits, order="<")
    offsets, lengths = [], []
    with path.open("wb") as stream:
        stream.write(b"II*\0" + bytes(4))
        for top in range(0, height, rows_per_strip):
            n_rows = min(rows_per_strip, height - top)
            order = np.arange(top, top + n_rows) % len(rows)
            content = rows[order].tobytes()
            content = zlib.compress(content, 6) if compressed else content
            offsets.append(stream.tell())
            lengths.append(len(content))
            stream.write(content)
        if stream.tell() % 2:
            stream.write(b"\0")
        entries = {
            256: (width,),
            257: (height,),
            258: (bits, bits, bits),
            259: (8 if compressed else 1,),
            262: (2,),
            273: tuple(offsets),
            274: (orientation,),
            277: (3,),
            278: (rows_per_strip,),
            279: tuple(lengths),
        }
        _write_directory(stream, entries)


def _write_directory(stream: IO[bytes], entries: dict[int, tuple[int, ...]]) -> None:
    """All values as LONG but those that TIFF 6.0 wants as SHORT; the offset at the file's head."""
    shorts, directory, behind = {258, 259, 262, 274, 277}, b"", b""
    place = stream.tell()
    values_place = place + 2 + 12 * len(entries) + 4
    for tag, values in sorted(entries.items()):
        kind, code = (3, "H") if tag in shorts else (4, "I")
        packed = struct.pack(f"<{len(values)}{code}", *values)
        head = struct.pack("<HHI", tag, kind, len(values))
        if len(packed) <= 4:
            directory += head + packed.ljust(4, b"\0")
        else:
            directory += head + struct.pack("<I", values_place + len(behind))
            behind += packed + bytes(len(packed) % 2)
    stream.write(struct.pack("<H", len(entries)) + directory + bytes(4) + behind)
    stream.seek(4)
    stream.write(struct.pack("<I", place))


def _pattern(width: int, n_channels: int, bits: int, *, order: str) -> NDArray[np.generic]:
    """Rows of plain blocks of 50 pixels, (rows, W, channels); the last of four channels varies."""
    generator = np.random.default_rng(3)
    blocks = generator.integers(0, 2**bits, (_ROWS_AT_ONCE // 50, width // 50 + 1, n_channels))
    rows = blocks.repeat(50, axis=0).repeat(50, axis=1)[:, :width]
    return np.ascontiguousarray(rows.astype(f"{order}u{bits // 8}"))
