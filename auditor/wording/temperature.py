"""Differences and shifts of colour temperature in words, with their direction."""

from __future__ import annotations

from auditor.quantities import QUANTITIES
from auditor.wording.numbers import decimal, kelvin_from_mired

# Where the control of a raw developer stands for daylight, as an example (common practice). It
# names the light that is taken for white: set lower, the picture gets cooler.
EXAMPLE_KELVIN = 5500.0
LOWEST_KELVIN, HIGHEST_KELVIN = 2000, 12000  # of white balance controls, common practice


def warmer_words(mired: float) -> str:
    """Say how much warmer (positive) or cooler something is."""
    entry = QUANTITIES["colour_temperature"]
    return f"{decimal(abs(mired), 0)} mired {entry.higher if mired > 0 else entry.lower}"


def shift_words(mired: float, what: str) -> str:
    """Say how to make something warmer (positive) or cooler: ``"cool it by 38 mired (…)"``."""
    return f"{_way(mired)} {what} by {decimal(abs(mired), 0)} mired{_in_raw(mired)}"


def shift_back_words(mired: float, what: str) -> str:
    """The same after the amount was stated."""
    return f"{_way(mired)} {what} by as much{_in_raw(mired)}"


def _way(mired: float) -> str:
    return "warm" if mired > 0 else "cool"


def _in_raw(mired: float) -> str:
    """What the shift does to the control of a raw developer, as an example."""
    example_mired = 1e6 / EXAMPLE_KELVIN
    if not 1e6 / HIGHEST_KELVIN <= example_mired - mired <= 1e6 / LOWEST_KELVIN:
        return ""
    start, end = kelvin_from_mired(example_mired), kelvin_from_mired(example_mired - mired)
    return f" (in raw development, {start} becomes {end})"
