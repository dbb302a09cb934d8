"""Files whose compressed pixels are damaged under a container that says that all is well."""

from __future__ import annotations

import io
import struct
import warnings
import zlib
from collections.abc import Callable, Iterator
from functools import cache

import numpy as np
from PIL import Image

from tests.photograph.pictures import png_chunk

Random = np.random.Generator
LONG_SIDE_PX = 160


def decoder_reports_an_error(data: bytes) -> bool:
    """Whether Pillow alone raises an error for the pixels of a file."""
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")
            with Image.open(io.BytesIO(data)) as image:
                image.load()
    except Exception:
        return True
    return False


def _changed(random: Random, data: bytes) -> bytes:
    """Bytes lost, put in, overwritten or cut off at the end, or bits flipped."""
    place = int(random.integers(len(data)))
    length = int(random.integers(1, max(2, len(data) // 3)))
    match int(random.integers(5)):
        case 0:
            return data[:place] + data[place + length :]
        case 1:
            return data[:place] + random.bytes(length) + data[place:]
        case 2:
            new = bytes(length) if random.random() < 0.5 else random.bytes(length)
            return (data[:place] + new + data[place + length :])[: len(data)]
        case 3:
            return data[:place]
        case _:
            flipped = bytearray(data)
            for _ in range(random.integers(1, 6)):
                flipped[int(random.integers(len(data)))] ^= 1 << int(random.integers(8))
            return bytes(flipped)


def _png(random: Random, picture: Image.Image) -> bytes:
    """Compressed rows damaged, in one or several chunks with right checksums, with EXIF or not."""
    mode = ("RGB", "RGBA", "L", "P", "LA")[int(random.integers(5))]
    samples = picture.quantize(32) if mode == "P" else picture.convert(mode)
    stream = io.BytesIO()
    exif = Image.Exif()
    exif[0x0112] = int(random.integers(1, 9))
    options = {"exif": exif} if random.random() < 0.5 else {}
    samples.save(stream, "PNG", **options)
    before, behind, pixels = [], [], b""
    for name, content in _chunks(stream.getvalue()):
        if name == b"IDAT":
            pixels += content
        else:
            (behind if pixels else before).append(png_chunk(name, content))
    if random.random() < 0.3:  # the rows themselves are too few, and compressed well
        rows = zlib.decompress(pixels)
        pixels = zlib.compress(rows[: int(random.integers(len(rows) * 9 // 10))])
    else:
        pixels = _changed(random, pixels)
    n_parts = int(random.integers(1, 4))
    part = len(pixels) // n_parts + 1
    chunks = [png_chunk(b"IDAT", pixels[at : at + part]) for at in range(0, len(pixels), part)]
    return b"\x89PNG\r\n\x1a\n" + b"".join([*before, *chunks, *behind])


def _chunks(data: bytes) -> Iterator[tuple[bytes, bytes]]:
    start = 8
    while start < len(data):
        (length,) = struct.unpack_from(">I", data, start)
        yield data[start + 4 : start + 8], data[start + 8 : start + 8 + length]
        start += 12 + length


def _tiff(random: Random, picture: Image.Image) -> bytes:
    """Strips damaged where they are, or strips that are said to be elsewhere."""
    compressions = ("tiff_lzw", "tiff_adobe_deflate", "packbits", "jpeg", None)
    compression = compressions[int(random.integers(len(compressions)))]
    stream = io.BytesIO()
    picture.copy().save(stream, "TIFF", compression=compression)
    data = bytearray(stream.getvalue())
    (directory,) = struct.unpack_from("<I", data, 4)
    (n_entries,) = struct.unpack_from("<H", data, directory)
    entries = {
        struct.unpack_from("<H", data, at)[0]: at
        for at in range(directory + 2, directory + 2 + 12 * n_entries, 12)
    }
    if random.random() < 0.4:  # another place or another length of the strips
        at = entries[(273, 279)[int(random.integers(2))]]
        (count,) = struct.unpack_from("<I", data, at + 4)
        value = int(random.integers(2 * len(data)))
        where = at + 8 if count == 1 else struct.unpack_from("<I", data, at + 8)[0]
        struct.pack_into("<I", data, where, value)
        return bytes(data)
    end = min(directory, len(data)) if directory > 8 else len(data)
    begin = 8 if directory > 8 else directory + 2 + 12 * n_entries + 4
    pixels = _changed(random, bytes(data[begin:end]))
    # The directory stays where it was said to be.
    pixels = pixels[: end - begin].ljust(end - begin, b"\0")
    return bytes(data[:begin]) + pixels + bytes(data[end:])


def _webp(random: Random, picture: Image.Image) -> bytes:
    """The picture's own chunk damaged, with lengths that fit."""
    mode, is_lossless = "RGBA" if random.random() < 0.3 else "RGB", bool(random.random() < 0.5)
    data = _good(picture.tobytes(), picture.size, "WEBP", mode, lossless=is_lossless)
    start, parts = 12, []
    while start + 8 <= len(data):
        name, length = struct.unpack_from("<4sI", data, start)
        content = data[start + 8 : start + 8 + length]
        if name in (b"VP8 ", b"VP8L", b"ALPH"):
            content = _changed(random, content)
        parts.append(struct.pack("<4sI", name, len(content)) + content + b"\0" * (len(content) % 2))
        start += 8 + length + length % 2
    body = b"WEBP" + b"".join(parts)
    return b"RIFF" + struct.pack("<I", len(body)) + body


def _avif(random: Random, picture: Image.Image) -> bytes:
    """The coded picture damaged where it is."""
    data = _good(picture.tobytes(), picture.size, "AVIF", "RGB", quality=70, speed=10)
    begin = data.index(b"mdat") + 4
    length = len(data) - begin
    return data[:begin] + _changed(random, data[begin:])[:length].ljust(length, b"\0")


@cache  # to write an AVIF takes half a second
def _good(samples: bytes, size: tuple[int, int], kind: str, mode: str, **options: object) -> bytes:
    stream = io.BytesIO()
    Image.frombytes("RGB", size, samples).convert(mode).save(stream, kind, **options)
    return stream.getvalue()


MAKERS: dict[str, Callable[[Random, Image.Image], bytes]] = {
    "PNG": _png,
    "TIFF": _tiff,
    "WEBP": _webp,
    "AVIF": _avif,
}


def damaged_files(kind: str, number: int, seed: int) -> Iterator[bytes]:
    """Different damaged files for which Pillow alone raises an error.

    Parameters
    ----------
    kind : str
        ``"PNG"``, ``"TIFF"``, ``"WEBP"`` or ``"AVIF"``.
    number : int
        How many.
    seed : int
        The same makes the same files.
    """
    random = np.random.default_rng((seed, len(kind), ord(kind[0])))
    noise = random.integers(-40, 41, (LONG_SIDE_PX * 2 // 3, LONG_SIDE_PX, 3))
    rise = np.linspace(40, 210, LONG_SIDE_PX)[None, :, None]
    picture = Image.fromarray((rise + noise).clip(0, 255).astype(np.uint8))
    seen: set[bytes] = set()
    while len(seen) < number:
        data = MAKERS[kind](random, picture)
        if data not in seen and decoder_reports_an_error(data):
            seen.add(data)
            yield data
