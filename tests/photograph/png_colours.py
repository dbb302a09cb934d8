"""PNG with chunks that state their colours (W3C, PNG, third edition, 11.3.2)."""

from __future__ import annotations

import struct

import numpy as np
from numpy.typing import NDArray
from PIL import Image

from tests.photograph.pictures import encoded, png_chunk, png_of

HEAD_BYTES = 8 + 25  # signature and header: the chunks of colour come behind them


def png_with(picture: Image.Image, *chunks: tuple[bytes, bytes], **options: object) -> bytes:
    """A PNG with chunks before its pixels."""
    return _with_chunks(encoded(picture, "PNG", **options), chunks)


def gamma_chunk(exponent: float) -> tuple[bytes, bytes]:
    """gAMA of light that is a power of the code value."""
    return (b"gAMA", struct.pack(">I", round(100_000 / exponent)))


def chromaticity_chunk(
    primaries: tuple[tuple[float, float], ...], white: tuple[float, float]
) -> tuple[bytes, bytes]:
    """cHRM."""
    values = [round(100_000 * value) for point in (white, *primaries) for value in point]
    return (b"cHRM", struct.pack(">8I", *values))


def cicp_chunk(
    primaries: int, transfer: int, *, matrix: int = 0, full_range: int = 1
) -> tuple[bytes, bytes]:
    """cICP."""
    return (b"cICP", bytes((primaries, transfer, matrix, full_range)))


def deep_png(samples: NDArray[np.uint16], *chunks: tuple[bytes, bytes]) -> bytes:
    """An RGB PNG of 16 bits, with chunks before its pixels."""
    height, width = samples.shape[:2]
    rows = b"".join(b"\0" + row.astype(">u2").tobytes() for row in samples)
    return _with_chunks(png_of(width, height, rows, bits=16), chunks)


def _with_chunks(data: bytes, chunks: tuple[tuple[bytes, bytes], ...]) -> bytes:
    added = b"".join(png_chunk(*chunk) for chunk in chunks)
    return data[:HEAD_BYTES] + added + data[HEAD_BYTES:]
