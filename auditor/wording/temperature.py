"""Differences and shifts of colour temperature in words, with their direction.

A raw developer's control names the light that is taken for white. Set to a higher kelvin it takes a
bluer light for white, and the picture gets warmer; set lower, cooler. A picture that is `m` mired
too warm is right at the setting whose mired is larger by `m`: 33 mired too warm at 5000 K
(200 mired) asks for 233 mired, 4290 K.
"""

from __future__ import annotations

from auditor.quantities import QUANTITIES
from auditor.wording.numbers import decimal, kelvin_from_mired

# What the control of a raw developer may stand at, as an example: the setting of the picture is not
# known. Daylight at noon has about as much (common practice).
EXAMPLE_KELVIN = 5000.0
# From how many mired on whites look so: the middles between the words that a plan has for it
# (`vocabulary.temperatures`).
_LOOKS = ((230.0, "very warm"), (170.0, "warm"), (138.0, "neutral"), (105.0, "cool"))
COOLEST = "very cool"
LOWEST_KELVIN, HIGHEST_KELVIN = 2000, 12000  # of white balance controls, common practice


def warmer(mired: float) -> str:
    """The word for more mired (positive) or fewer: warmer or cooler."""
    entry = QUANTITIES["colour_temperature"]
    return entry.higher if mired > 0 else entry.lower


def mired_amount(mired: float) -> str:
    """The size of a difference: ``"38 mired"``."""
    return f"{decimal(abs(mired), 0)} mired"


def warmer_words(mired: float, than: str) -> str:
    """Say that something is warmer (positive) or cooler: ``"warmer than planned (38 mired)"``."""
    return f"{warmer(mired)} {than} ({mired_amount(mired)})"


def temperature_words(mired: float) -> str:
    """Say how warm a finished picture is: ``"neutral"``, ``"warm"``, ``"very cool"``."""
    return next((words for least, words in _LOOKS if mired >= least), COOLEST)


def shift_words(mired: float, what: str) -> str:
    """Say how to make something warmer (positive) or cooler: ``"cool it by 38 mired: …"``."""
    return f"{_way(mired)} {what} by {mired_amount(mired)}{_in_raw(mired)}"


def shift_back_words(mired: float, what: str) -> str:
    """The same after the amount was stated."""
    return f"{_way(mired)} {what} by as much{_in_raw(mired)}"


def _way(mired: float) -> str:
    return "warm" if mired > 0 else "cool"


def _in_raw(mired: float) -> str:
    """What the shift does to the control of a raw developer, as an example."""
    set_to = shifted_kelvin(EXAMPLE_KELVIN, mired)
    if set_to is None:
        return ""
    start, end = kelvin_from_mired(1e6 / EXAMPLE_KELVIN), kelvin_from_mired(1e6 / set_to)
    return (
        f" (in raw development from {start} to about {end}, or the same {mired_amount(mired)} "
        "from your setting)"
    )


def shifted_kelvin(kelvin: float, mired: float) -> float | None:
    """The setting that makes a picture warmer (positive) by so many mired than another setting.

    None beyond what controls have.
    """
    set_to = 1e6 / kelvin - mired
    if not 1e6 / HIGHEST_KELVIN <= set_to <= 1e6 / LOWEST_KELVIN:
        return None
    return 1e6 / set_to
