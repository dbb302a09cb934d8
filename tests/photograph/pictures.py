"""Pictures drawn for the tests of reading, and functions to write and read them."""

from __future__ import annotations

import io
import struct
import zlib
from pathlib import Path

import numpy as np
from numpy.typing import NDArray
from PIL import Image

from auditor.photograph.decode import read_photograph
from auditor.photograph.photograph import Photograph

# The colours of the four quarters: upper left, upper right, lower left, lower right.
QUARTERS = ((200, 40, 30), (40, 150, 60), (30, 60, 170), (220, 200, 60))


def quarters(width: int = 120, height: int = 80) -> Image.Image:
    """Four plain quarters of different colours, so that all eight orientations differ."""
    picture = np.empty((height, width, 3), np.uint8)
    for index, colour in enumerate(QUARTERS):
        rows = slice(0, height // 2) if index < 2 else slice(height // 2, height)
        columns = slice(0, width // 2) if index % 2 == 0 else slice(width // 2, width)
        picture[rows, columns] = colour
    return Image.fromarray(picture)


def colour_fields(seed: int = 7, n_across: int = 12, n_down: int = 8) -> Image.Image:
    """Fields of 20 pixels in colours drawn from all of sRGB."""
    generator = np.random.default_rng(seed)
    colours = generator.integers(0, 256, (n_down, n_across, 3), dtype=np.uint8)
    return Image.fromarray(np.kron(colours, np.ones((20, 20, 1), np.uint8)))


def encoded(image: Image.Image, kind: str, **options: object) -> bytes:
    """The picture as bytes of a format that Pillow writes."""
    stream = io.BytesIO()
    image.save(stream, kind, **options)
    return stream.getvalue()


def read(folder: Path, data: bytes, name: str = "picture.jpg") -> Photograph:
    """What `read_photograph` makes of these bytes."""
    (folder / name).write_bytes(data)
    return read_photograph(folder, name)


def quarter_colours(pixels: NDArray[np.uint8]) -> list[tuple[int, int, int]]:
    """Colour in the middle of each quarter, in the order of `QUARTERS`."""
    height, width = pixels.shape[:2]
    rows, columns = (height // 4, 3 * height // 4), (width // 4, 3 * width // 4)
    return [tuple(int(v) for v in pixels[r, c]) for r in rows for c in columns]


def largest_difference(first: NDArray[np.uint8], second: NDArray[np.uint8]) -> int:
    """In levels of 255."""
    return int(np.abs(first.astype(int) - second.astype(int)).max())


def png_chunk(kind: bytes, content: bytes) -> bytes:
    """One chunk of a PNG with the right checksum."""
    check = zlib.crc32(kind + content)
    return struct.pack(">I", len(content)) + kind + content + struct.pack(">I", check)


def png_of(width: int, height: int, rows: bytes, *, bits: int = 8) -> bytes:
    """An RGB PNG (ISO/IEC 15948) of filtered rows; its header may declare any size."""
    header = struct.pack(">IIBBBBB", width, height, bits, 2, 0, 0, 0)
    pixels = png_chunk(b"IDAT", zlib.compress(rows))
    return b"\x89PNG\r\n\x1a\n" + png_chunk(b"IHDR", header) + pixels + png_chunk(b"IEND", b"")


def tiff_of(samples: NDArray[np.generic], *, photometric: int, order: str = "<") -> bytes:
    """A TIFF 6.0 of one uncompressed strip, (H, W, samples), in either byte order."""
    height, width, n_samples = samples.shape
    body = samples.astype(samples.dtype.newbyteorder(order)).tobytes()
    bits, n_entries = samples.dtype.itemsize * 8, 10
    bits_offset = 8 + 2 + 12 * n_entries + 4
    short, long = 3, 4
    entries = (
        (256, long, 1, width),
        (257, long, 1, height),
        (258, short, n_samples, bits if n_samples == 1 else bits_offset),
        (259, short, 1, 1),
        (262, short, 1, photometric),
        (273, long, 1, bits_offset + 2 * n_samples),
        (277, short, 1, n_samples),
        (278, long, 1, height),
        (279, long, 1, len(body)),
        (339, short, 1, 3 if samples.dtype.kind == "f" else 1),
    )
    data = (b"II*\0" if order == "<" else b"MM\0*") + struct.pack(order + "IH", 8, n_entries)
    for tag, kind, count, value in entries:
        is_inline_short = kind == short and count == 1
        layout, values = ("HH", (value, 0)) if is_inline_short else ("I", (value,))
        data += struct.pack(order + "HHI" + layout, tag, kind, count, *values)
    return data + bytes(4) + struct.pack(order + f"{n_samples}H", *[bits] * n_samples) + body


def with_tiff_entry(data: bytes, entry: bytes) -> bytes:
    """A little-endian TIFF with one entry (12 bytes) added to its directory."""
    (place,) = struct.unpack_from("<I", data, 4)
    (n_entries,) = struct.unpack_from("<H", data, place)
    entries = data[place + 2 : place + 2 + 12 * n_entries] + entry
    directory = struct.pack("<H", n_entries + 1) + entries + bytes(4)
    return data[:4] + struct.pack("<I", len(data)) + data[8:] + directory


def with_checksums(data: bytes) -> bytes:
    """The same PNG with checksums that fit its chunks."""
    start, pieces = 8, [data[:8]]
    while start + 12 <= len(data):
        end = start + 8 + int.from_bytes(data[start : start + 4], "big")
        body = data[start + 4 : end]
        pieces.append(data[start : start + 4] + body + struct.pack(">I", zlib.crc32(body)))
        start = end + 4
    return b"".join(pieces)
