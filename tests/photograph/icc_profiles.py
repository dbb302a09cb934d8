"""A writer of minimal ICC version 2 profiles (ICC.1:2001-04), to test the reader with.

Primaries and curves are as the standards publish them; the matrix to D50 is computed by the
Bradford transform of that specification's annex E.
"""

from __future__ import annotations

import struct
import warnings
from collections.abc import Callable

import numpy as np
from numpy.typing import NDArray
from PIL import Image

Chromaticity = tuple[float, float]
D65: Chromaticity = (0.3127, 0.3290)
D50: Chromaticity = (0.3457, 0.3585)
_CONNECTION_WHITE = np.array([0.9642, 1.0, 0.8249])  # ICC.1:2001-04, D50 of the PCS
_BRADFORD = np.array(
    [[0.8951, 0.2664, -0.1614], [-0.7502, 1.7135, 0.0367], [0.0389, -0.0685, 1.0296]]
)


def srgb_curve(encoded: NDArray[np.float64]) -> NDArray[np.float64]:
    """IEC 61966-2-1; also that of Display P3."""
    return np.where(encoded <= 0.04045, encoded / 12.92, ((encoded + 0.055) / 1.055) ** 2.4)


def adobe_curve(encoded: NDArray[np.float64]) -> NDArray[np.float64]:
    """Adobe RGB (1998) Color Image Encoding, section 4.3.4.2: 2 51/256."""
    return encoded ** (2 + 51 / 256)


def romm_curve(encoded: NDArray[np.float64]) -> NDArray[np.float64]:
    """ISO 22028-2 (ROMM RGB): 1.8 with a straight toe of slope 16 below 1/512."""
    return np.where(encoded < 16 / 512, encoded / 16, encoded**1.8)


# Name: primaries, white, curve, name of the space in colour-science.
SPACES: dict[str, tuple[tuple[Chromaticity, ...], Chromaticity, Callable[..., NDArray], str]] = {
    # SMPTE EG 432-1 primaries with the white of D65
    "Display P3": (((0.680, 0.320), (0.265, 0.690), (0.150, 0.060)), D65, srgb_curve, "Display P3"),
    "Adobe RGB (1998)": (
        ((0.6400, 0.3300), (0.2100, 0.7100), (0.1500, 0.0600)),
        D65,
        adobe_curve,
        "Adobe RGB (1998)",
    ),
    # ISO 22028-2
    "ROMM RGB": (
        ((0.7347, 0.2653), (0.1596, 0.8404), (0.0366, 0.0001)),
        D50,
        romm_curve,
        "ROMM RGB",
    ),
}


def matrix_profile(
    name: str,
    primaries: tuple[Chromaticity, ...],
    white: Chromaticity,
    curve: Callable[[NDArray[np.float64]], NDArray[np.float64]],
) -> bytes:
    """A display profile of three primaries and one curve."""
    columns = _to_connection_space(primaries, white).T
    tags = _common(name)
    for channel, column in zip("rgb", columns, strict=True):
        tags[channel.encode() + b"XYZ"] = _xyz(column)
        tags[channel.encode() + b"TRC"] = _curve(curve)
    return _assembled(b"RGB ", tags)


def grey_profile(name: str, curve: Callable[[NDArray[np.float64]], NDArray[np.float64]]) -> bytes:
    """A display profile of one grey channel."""
    return _assembled(b"GRAY", _common(name) | {b"kTRC": _curve(curve)})


def _to_connection_space(
    primaries: tuple[Chromaticity, ...], white: Chromaticity
) -> NDArray[np.float64]:
    tristimulus = np.array([_from_chromaticity(p) for p in primaries]).T
    source_white = _from_chromaticity(white)
    matrix = tristimulus * np.linalg.solve(tristimulus, source_white)
    scale = (_BRADFORD @ _CONNECTION_WHITE) / (_BRADFORD @ source_white)
    return np.linalg.inv(_BRADFORD) @ np.diag(scale) @ _BRADFORD @ matrix


def _from_chromaticity(xy: Chromaticity) -> NDArray[np.float64]:
    x, y = xy
    return np.array([x / y, 1.0, (1 - x - y) / y])


def _common(name: str) -> dict[bytes, bytes]:
    text = name.encode("ascii") + b"\0"
    description = b"desc" + bytes(4) + struct.pack(">I", len(text)) + text + bytes(8 + 3 + 67)
    return {
        b"desc": description,
        b"cprt": b"text" + bytes(4) + b"none\0",
        b"wtpt": _xyz(_CONNECTION_WHITE),
    }


def _fixed(values: NDArray[np.float64]) -> bytes:
    return b"".join(struct.pack(">i", round(float(v) * 65536)) for v in values)


def _xyz(values: NDArray[np.float64]) -> bytes:
    return b"XYZ " + bytes(4) + _fixed(values)


def _curve(curve: Callable[[NDArray[np.float64]], NDArray[np.float64]]) -> bytes:
    table = np.rint(curve(np.linspace(0, 1, 4096)) * 65535).astype(">u2")
    return b"curv" + bytes(4) + struct.pack(">I", table.size) + table.tobytes()


def _assembled(space: bytes, tags: dict[bytes, bytes]) -> bytes:
    offset = 128 + 4 + 12 * len(tags)
    directory, body = struct.pack(">I", len(tags)), b""
    for signature, content in tags.items():
        directory += signature + struct.pack(">II", offset + len(body), len(content))
        body += content + bytes(-len(content) % 4)
    header = bytearray(128)
    header[0:4] = struct.pack(">I", offset + len(body))
    header[8:12] = bytes((2, 0x40, 0, 0))
    header[12:24] = b"mntr" + space + b"XYZ "
    header[24:36] = struct.pack(">6H", 2024, 1, 1, 0, 0, 0)
    header[36:40] = b"acsp"
    header[68:80] = _fixed(_CONNECTION_WHITE)
    return bytes(header) + directory + body


def profile_of(name: str) -> bytes:
    """The profile of one of `SPACES`."""
    primaries, white, curve, _ = SPACES[name]
    return matrix_profile(name, primaries, white, curve)


def encoded_in(name: str, srgb: NDArray[np.uint8]) -> Image.Image:
    """The picture's colours in one of `SPACES`, by colour-science."""
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")  # it names optional packages that are missing
        import colour

        values = colour.RGB_to_RGB(
            srgb / 255,
            colour.RGB_COLOURSPACES["sRGB"],
            colour.RGB_COLOURSPACES[SPACES[name][3]],
            chromatic_adaptation_transform="Bradford",
            apply_cctf_decoding=True,
            apply_cctf_encoding=True,
        )
    return Image.fromarray(np.rint(np.clip(values, 0, 1) * 255).astype(np.uint8))
