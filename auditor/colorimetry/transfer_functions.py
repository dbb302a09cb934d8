"""From code values to linear light: the transfer functions of ITU-T H.273 (07/2024), table 3.

Each function takes code values in [0, 1] and returns linear light of which 1 is white. Light above
1 is possible: PQ and HLG have highlights brighter than white.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Final

import numpy as np
from numpy.typing import NDArray

from auditor.colorimetry.srgb import linear_from_srgb

Curve = Callable[[NDArray[np.floating]], NDArray[np.float64]]

HDR_WHITE_CD_M2: Final = 203.0
"""Luminance of a white page in PQ and HLG pictures (ITU-R BT.2408-7, table 1)."""

HLG_PEAK_CD_M2: Final = 1000.0
"""Nominal peak of the display that HLG is shown on (ITU-R BT.2100-2, table 5)."""

HLG_SYSTEM_EXPONENT: Final = 1.2
"""Of the luminance, from scene to that display (ITU-R BT.2100-2, table 5)."""

_PQ_PEAK_CD_M2 = 10000.0
_PQ_M1, _PQ_M2 = 2610 / 16384, 2523 / 4096 * 128
_PQ_C1, _PQ_C2, _PQ_C3 = 3424 / 4096, 2413 / 4096 * 32, 2392 / 4096 * 32

_HLG_A, _HLG_B, _HLG_C = 0.17883277, 0.28466892, 0.55991073


def power(exponent: float) -> Curve:
    """Light as a power of the code value."""
    return lambda code: np.asarray(code, dtype=np.float64) ** exponent


def _camera(offset: float, slope: float, knee: float) -> Curve:
    """The inverse of a camera curve: straight below `knee` (of light), then to the power 0.45."""

    def curve(code: NDArray[np.floating]) -> NDArray[np.float64]:
        value = np.asarray(code, dtype=np.float64)
        return np.where(
            value < slope * knee, value / slope, ((value + offset) / (1 + offset)) ** (1 / 0.45)
        )

    return curve


def _logarithmic(decades: float) -> Curve:
    """Light of a logarithmic code; code 0 means no light."""

    def curve(code: NDArray[np.floating]) -> NDArray[np.float64]:
        value = np.asarray(code, dtype=np.float64)
        return np.where(value > 0, 10 ** ((value - 1) * decades), 0)

    return curve


def _perceptual_quantizer(code: NDArray[np.floating]) -> NDArray[np.float64]:
    """PQ (SMPTE ST 2084), with `HDR_WHITE_CD_M2` as 1."""
    root = np.asarray(code, dtype=np.float64) ** (1 / _PQ_M2)
    ratio = np.maximum(root - _PQ_C1, 0) / (_PQ_C2 - _PQ_C3 * root)
    light: NDArray[np.float64] = ratio ** (1 / _PQ_M1) * (_PQ_PEAK_CD_M2 / HDR_WHITE_CD_M2)
    return light


def _hybrid_log_gamma(code: NDArray[np.floating]) -> NDArray[np.float64]:
    """Light of the scene in HLG (ARIB STD-B67), in [0, 1]."""
    value = np.asarray(code, dtype=np.float64)
    bright = (np.exp((value - _HLG_C) / _HLG_A) + _HLG_B) / 12
    return np.where(value <= 0.5, value**2 / 3, bright)


HLG: Final = 18

# The inverse of a camera's curve gives the light of the scene. A display by BT.1886 would show the
# mid-tones up to 0.3 EV darker; a still picture does not say which is meant.
# The more exact constants of BT.2020 (table 4) serve for BT.709 too: they join the two parts of
# the curve, and the rounded ones differ by less than a hundredth of a level of 255.
_BT709 = _camera(0.09929682680944, 4.5, 0.018053968510807)

TRANSFER_FUNCTIONS: Final[dict[int, tuple[str, Curve]]] = {
    1: ("BT.709 curve", _BT709),
    4: ("gamma 2.2", power(2.2)),
    5: ("gamma 2.8", power(2.8)),
    6: ("BT.601 curve", _BT709),
    7: ("SMPTE 240M curve", _camera(0.1115, 4.0, 0.0228)),
    8: ("linear", power(1.0)),
    9: ("logarithmic, 2 decades", _logarithmic(2.0)),
    10: ("logarithmic, 2.5 decades", _logarithmic(2.5)),
    11: ("xvYCC curve", _BT709),
    12: ("BT.1361 curve", _BT709),
    13: ("sRGB curve", linear_from_srgb),
    14: ("BT.2020 curve", _BT709),
    15: ("BT.2020 curve", _BT709),
    16: ("PQ", _perceptual_quantizer),
    17: ("SMPTE ST 428 curve", lambda code: 52.37 / 48 * np.asarray(code, dtype=float) ** 2.6),
    HLG: ("HLG", _hybrid_log_gamma),
}
"""Name and curve of each TransferCharacteristics. 2 is unspecified; the others are reserved."""

HIGH_DYNAMIC_RANGE: Final = frozenset((16, HLG))
"""Those with highlights brighter than a white page."""
