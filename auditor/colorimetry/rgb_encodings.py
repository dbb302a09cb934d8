"""RGB encodings by their primaries, white and transfer function, and their conversion to sRGB.

The primaries are those of ITU-T H.273 (07/2024), table 2, and of Adobe RGB (1998) Color Image
Encoding, section 4.3.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final, NamedTuple

import numpy as np
from numpy.typing import NDArray

from auditor.colorimetry.adaptation import bradford_matrix
from auditor.colorimetry.srgb import D65_XYZ, LINEAR_FROM_XYZ, srgb_from_linear
from auditor.colorimetry.temperature import xyz_from_xy
from auditor.colorimetry.transfer_functions import (
    HDR_WHITE_CD_M2,
    HIGH_DYNAMIC_RANGE,
    HLG,
    HLG_PEAK_CD_M2,
    HLG_SYSTEM_EXPONENT,
    TRANSFER_FUNCTIONS,
    Curve,
    power,
)

Chromaticity = tuple[float, float]


class Primaries(NamedTuple):
    """CIE 1931 (x, y) of red, green, blue and of white."""

    red: Chromaticity
    green: Chromaticity
    blue: Chromaticity
    white: Chromaticity


_D65: Final = (0.3127, 0.3290)
_C: Final = (0.310, 0.316)

_BT709 = Primaries((0.640, 0.330), (0.300, 0.600), (0.150, 0.060), _D65)
_BT601 = Primaries((0.630, 0.340), (0.310, 0.595), (0.155, 0.070), _D65)

PRIMARIES: Final[dict[int, tuple[str, Primaries]]] = {
    1: ("BT.709", _BT709),
    4: ("BT.470 M", Primaries((0.67, 0.33), (0.21, 0.71), (0.14, 0.08), _C)),
    5: ("BT.470 B/G", Primaries((0.64, 0.33), (0.29, 0.60), (0.15, 0.06), _D65)),
    6: ("BT.601", _BT601),
    7: ("SMPTE 240M", _BT601),
    8: ("film", Primaries((0.681, 0.319), (0.243, 0.692), (0.145, 0.049), _C)),
    9: ("BT.2020", Primaries((0.708, 0.292), (0.170, 0.797), (0.131, 0.046), _D65)),
    10: ("CIE XYZ", Primaries((1.0, 0.0), (0.0, 1.0), (0.0, 0.0), (1 / 3, 1 / 3))),
    11: ("DCI P3", Primaries((0.680, 0.320), (0.265, 0.690), (0.150, 0.060), (0.314, 0.351))),
    12: ("P3 D65", Primaries((0.680, 0.320), (0.265, 0.690), (0.150, 0.060), _D65)),
    22: ("EBU 3213", Primaries((0.630, 0.340), (0.295, 0.605), (0.155, 0.077), _D65)),
}
"""Name and chromaticities of each ColourPrimaries. 2 is unspecified; the others are reserved."""

_SRGB = (1, 13)
_COMMON_NAMES = {_SRGB: "sRGB", (12, 13): "Display P3"}

# Levels of 255. Coarser steps are seen as bands in shadows: linear light (12.7), PQ (4.2) and
# camera curves (2.9) have them, gamma 1.8 (1.8) and 2.2 (1.2) do not. A judgement.
COARSE_STEP_LEVELS = 2.0

# Conversion of a picture: code values have at most 16 bits, and light is rounded to as many steps;
# near black, where sRGB is steepest, a step is a twentieth of a level of 255.
_N_STEPS = 65536
_ROWS_AT_ONCE = 64  # so that the intermediate results stay in the processor's cache


@dataclass(frozen=True, slots=True)
class RgbEncoding:
    """What the code values of an RGB picture mean.

    Attributes
    ----------
    name : str
        For the reader of a report.
    primaries : Primaries
    curve : callable
        Linear light of code values in [0, 1]; see `transfer_functions`.
    is_srgb : bool
        True if the code values need no conversion.
    is_scene_light : bool
        True for HLG, whose curve gives light of the scene.
    """

    name: str
    primaries: Primaries
    curve: Curve
    is_srgb: bool = False
    is_scene_light: bool = False

    @property
    def needs_16_bits(self) -> bool:
        """True if some of 256 grey steps are more than `COARSE_STEP_LEVELS` apart in sRGB."""
        light = np.minimum(self.curve(np.arange(256) / 255), 1)
        return bool(np.diff(srgb_from_linear(light)).max() * 255 > COARSE_STEP_LEVELS)


ADOBE_RGB: Final = RgbEncoding(
    "Adobe RGB (1998)",
    Primaries((0.6400, 0.3300), (0.2100, 0.7100), (0.1500, 0.0600), _D65),
    power(2 + 51 / 256),
)

SRGB: Final = RgbEncoding("sRGB", _BT709, TRANSFER_FUNCTIONS[13][1], is_srgb=True)


def h273_encoding(primaries: int, transfer: int) -> RgbEncoding | None:
    """The encoding of two code points of ITU-T H.273; None if either is unspecified or reserved."""
    if primaries not in PRIMARIES or transfer not in TRANSFER_FUNCTIONS:
        return None
    space, chromaticities = PRIMARIES[primaries]
    curve_name, curve = TRANSFER_FUNCTIONS[transfer]
    name = _COMMON_NAMES.get((primaries, transfer), f"{space} primaries, {curve_name}")
    if transfer in HIGH_DYNAMIC_RANGE:
        name += f", white at {HDR_WHITE_CD_M2:.0f} cd/m², brighter is clipped"
    is_srgb = (primaries, transfer) == _SRGB
    return RgbEncoding(name, chromaticities, curve, is_srgb, transfer == HLG)


def power_encoding(exponent: float, primaries: Primaries | None) -> RgbEncoding:
    """A power law; without primaries those of sRGB are assumed."""
    space = "sRGB primaries (assumed)" if primaries is None else "stated primaries"
    return RgbEncoding(f"{space}, gamma {exponent:.3g}", primaries or _BT709, power(exponent))


def linear_srgb_matrix(primaries: Primaries) -> NDArray[np.float64] | None:
    """Matrix from linear RGB of some primaries to linear sRGB, with white adapted to D65.

    Adaptation is after Bradford, so the conversion is relative colorimetric, as through an ICC
    profile.

    Returns
    -------
    (3, 3) float array or None
        For column vectors; None if the primaries enclose no area or white has no luminance.
    """
    x, y = np.array(primaries).T
    columns = np.stack([x, y, 1 - x - y])[:, :3]
    if y[3] <= 0 or abs(np.linalg.det(columns)) < 1e-6:
        return None
    white = xyz_from_xy(np.array(primaries.white))
    xyz_from_rgb = columns * np.linalg.solve(columns, white)
    matrix: NDArray[np.float64] = LINEAR_FROM_XYZ @ bradford_matrix(white, D65_XYZ) @ xyz_from_rgb
    return matrix


def srgb_pixels(codes: NDArray[np.unsignedinteger], encoding: RgbEncoding) -> NDArray[np.uint8]:
    """Convert the pixels of a picture to sRGB; colours outside its gamut are clipped.

    Parameters
    ----------
    codes : (H, W, 3) uint8 or uint16 array
    encoding : RgbEncoding
        Its primaries must have a matrix.

    Returns
    -------
    (H, W, 3) uint8 array
    """
    full = np.iinfo(codes.dtype).max
    light_of_code = encoding.curve(np.arange(full + 1) / full).astype(np.float32)
    steps = np.linspace(0, 1, _N_STEPS)
    srgb_of_step = np.rint(srgb_from_linear(steps) * 255).astype(np.uint8)
    matrix = linear_srgb_matrix(encoding.primaries)
    if matrix is None:
        raise ValueError("the primaries enclose no area")
    to_steps = (matrix.T * (_N_STEPS - 1)).astype(np.float32)
    luminance = _luminance_weights(encoding.primaries)
    result = np.empty(codes.shape, np.uint8)
    for start in range(0, codes.shape[0], _ROWS_AT_ONCE):
        rows = slice(start, start + _ROWS_AT_ONCE)
        light = light_of_code[codes[rows]]
        if encoding.is_scene_light:
            light *= _hlg_gain(light @ luminance)[..., np.newaxis]
        index = np.clip(light.reshape(-1, 3) @ to_steps + np.float32(0.5), 0, _N_STEPS - 1)
        result[rows] = srgb_of_step[index.astype(np.uint16)].reshape(light.shape)
    return result


def _luminance_weights(primaries: Primaries) -> NDArray[np.float32]:
    x, y = np.array(primaries).T
    columns = np.stack([x, y, 1 - x - y])[:, :3]
    weights = columns[1] * np.linalg.solve(columns, xyz_from_xy(np.array(primaries.white)))
    return np.asarray(weights, dtype=np.float32)


def _hlg_gain(luminance: NDArray[np.float32]) -> NDArray[np.float32]:
    """From light of the scene to that of the display, a white page as 1 (BT.2100-2, table 5)."""
    bright = np.maximum(luminance, np.float32(1e-9)) ** np.float32(HLG_SYSTEM_EXPONENT - 1)
    return np.asarray(bright * np.float32(HLG_PEAK_CD_M2 / HDR_WHITE_CD_M2), dtype=np.float32)
