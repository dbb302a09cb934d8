"""Sizes of files and shares as they are written."""

from __future__ import annotations

DIGITS = 3  # significant ones of a size or a share
_DECIMAL = ((1e9, "GB"), (1e6, "MB"), (1e3, "kB"))


def bytes_text(value: float, digits: int = DIGITS) -> str:
    """Write a number of bytes in decimal multiples, as in the SI: ``"8 MB"``."""
    factor, name = next((one for one in _DECIMAL if value >= one[0]), (1.0, "bytes"))
    return f"{_plain(value / factor, digits)} {name}" if factor > 1 else f"{value:.0f} {name}"


def share_text(value: float, digits: int = DIGITS) -> str:
    """Write a share in per cent: ``"1%"``."""
    return f"{_plain(100 * value, digits)}%"


def _plain(value: float, digits: int) -> str:
    """Significant digits without an exponent: 1500, not 1.5e+03."""
    return f"{float(f'{value:.{digits}g}'):.10g}"
