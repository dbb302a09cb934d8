"""Numbers for people: rounded, with their unit, and never from "almost" to "exactly"."""

from __future__ import annotations

import math

from auditor.vocabulary.ratios import USUAL_RATIOS

MINUS = "\u2212"  # as wide as a plus, unlike a hyphen
NOTHING = "–"
MAX_DIGITS = 6  # past this two values differ by less than any measurement here can distinguish
SIGNIFICANT_DIGITS = 2  # of an amount in a sentence
ASPECT_ROUNDING = 0.004  # relative; a row of pixels more or less is the same ratio
ROUNDED_AWAY_PERCENT = 0.5  # where rounding to whole per cents would say zero or all
LAST_PERCENT = 99
FLOAT_ERROR = 1e-9  # of 100 times a probability: 0.29 is 29%, not 28%
TWICE = 2.0  # up to twice as much a ratio is written as a percentage, beyond as a multiple

SHORT_SUFFIXES = ("%", "°")
# How each unit is shown: factor, decimals, what follows the number.
UNIT_STYLES: dict[str, tuple[int, int, str]] = {
    "fraction of frame": (100, 0, "%"),
    "fraction of diagonal": (1, 2, " of the diagonal"),
    "deg": (1, 0, "°"),
    "deg of tilt": (1, 1, "°"),
    "h": (30, 0, "°"),  # round the table: as hours it would read as a time
    "mired": (1, 0, " mired"),
    "CIEDE2000": (1, 0, " ΔE₀₀"),
    "ratio": (1, 2, ""),
    "EV": (1, 1, " EV"),
    "L*": (1, 0, " L*"),
    "C*": (1, 0, " C*"),
    "Duv": (1, 3, " Duv"),
}


def decimal(value: float, digits: int, *, signed: bool = False) -> str:
    """Write a number with a fixed count of decimals and a true minus.

    A value that is not zero is never written as zero: it becomes "under 0.01".
    """
    text = f"{abs(value):.{digits}f}"
    if value != 0 and float(text) == 0:
        return f"under {10**-digits:.{digits}f}"
    if value < 0:
        return MINUS + text
    return "+" + text if signed and value > 0 else text


def apart(first: float, second: float, digits: int) -> tuple[str, str]:
    """Write two numbers with as many decimals as it takes to see that they differ."""
    for more in range(digits, MAX_DIGITS + 1):
        texts = decimal(first, more), decimal(second, more)
        if texts[0] != texts[1] or first == second:
            return texts
    return decimal(first, digits), decimal(second, digits)


def percent(fraction: float) -> str:
    """Write a share as a percentage; 0 % and 100 % only where that is exact."""
    value = fraction * 100
    if 0 < value <= ROUNDED_AWAY_PERCENT:
        return "under 1%"
    if 100 - ROUNDED_AWAY_PERCENT <= value < 100:
        return "over 99%"
    return f"{value:.0f}%"


def certainty(probability: float) -> str:
    """Write how sure something is: rounded down, so that it never seems to reach a bound."""
    whole = math.floor(probability * 100 + FLOAT_ERROR)
    return f"{whole}%" if 0 < whole < LAST_PERCENT else percent(probability)


def degrees(value: float, digits: int = 0, *, signed: bool = False) -> str:
    """Write an angle."""
    return decimal(value, digits, signed=signed) + "°"


def clock(hours: float) -> str:
    """Write a clock direction as a dial is read, to the nearest quarter hour."""
    quarters = round(hours * 4) % 48
    return f"{quarters // 4 or 12}:{quarters % 4 * 15:02d}"


def tilt_text(deg: float) -> str:
    """Write a tilt with its direction; positive where level lines rise to the right."""
    way = "" if deg == 0 else " anticlockwise" if deg > 0 else " clockwise"
    return degrees(abs(deg), 1) + way


def kelvin(value: float) -> str:
    """Write a colour temperature to the nearest 50 K, about what is visible at 6500 K."""
    return f"{round(value / 50) * 50} K"


def kelvin_from_mired(mired: float) -> str:
    """Write a colour temperature that is given in mired."""
    return kelvin(1e6 / mired) if mired > 0 else NOTHING


def aspect(ratio: float) -> str:
    """Write an aspect ratio in whole numbers where it is a common one, else as a decimal."""
    for name in USUAL_RATIOS:
        long, short = name.split(":")
        for text, value in (
            (name, int(long) / int(short)),
            (f"{short}:{long}", int(short) / int(long)),
        ):
            if math.isclose(value, ratio, rel_tol=ASPECT_ROUNDING):
                return text
    return f"{ratio:.3g}:1"


def ratio_words(ratio: float) -> str:
    """Say how much more or less, as a percentage up to twice as much: ``"by 30%"``."""
    if ratio <= TWICE:
        return f"by {abs(ratio - 1) * 100:.0f}%"
    return f"about {ratio:.0f} times as much"


def two_digits(value: float) -> str:
    """Write an amount with two significant digits and no exponent: 38, 1.2, 0.0061."""
    rounded = float(f"{value:.{SIGNIFICANT_DIGITS}g}")
    whole = rounded >= 10 ** (SIGNIFICANT_DIGITS - 1)
    return f"{rounded:.0f}" if whole else f"{rounded:.6f}".rstrip("0").rstrip(".")


def scaled(value: float, unit: str) -> tuple[float, int, str]:
    """Bring a value to the scale that people read: value, decimals, what follows it."""
    scale, digits, suffix = UNIT_STYLES.get(unit, (1, 2, f" {unit}" if unit else ""))
    return value * scale, digits, suffix


def amount(value: float, unit: str, *, signed: bool = False) -> str:
    """Write a number with its unit."""
    if unit == "fraction of frame" and not signed:
        return percent(value)
    number, digits, suffix = scaled(value, unit)
    return decimal(number, digits, signed=signed) + suffix
