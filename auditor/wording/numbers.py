"""Numbers for people: rounded, with their unit, and never from "almost" to "exactly"."""

from __future__ import annotations

import math
from datetime import datetime

MINUS = "\u2212"  # as wide as a plus, unlike a hyphen
NOTHING = "–"
MAX_DIGITS = 6  # past this two values differ by less than any measurement here can tell
COMMON_ASPECTS = ("1:1", "5:4", "4:3", "7:5", "3:2", "16:10", "16:9", "2:1", "21:9")  # from memory
ASPECT_ROUNDING = 0.004  # relative; a row of pixels more or less is the same ratio
ROUNDED_AWAY_PERCENT = 0.5  # where rounding to whole per cents would say nought or all


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


def degrees(value: float, digits: int = 0, *, signed: bool = False) -> str:
    """Write an angle."""
    return decimal(value, digits, signed=signed) + "°"


def clock(hours: float) -> str:
    """Write a clock direction as a dial is read, to the nearest quarter hour."""
    quarters = round(hours * 4) % 48
    return f"{quarters // 4 or 12}:{quarters % 4 * 15:02d}"


def kelvin(value: float) -> str:
    """Write a colour temperature to the nearest 50 K, about what the eye can tell at 6500 K."""
    return f"{round(value / 50) * 50} K"


def kelvin_from_mired(mired: float) -> str:
    """Write a colour temperature that is given in mired."""
    return kelvin(1e6 / mired) if mired > 0 else NOTHING


def aspect(ratio: float) -> str:
    """Write an aspect ratio in whole numbers where it is a common one, else as a decimal."""
    for name in COMMON_ASPECTS:
        long, short = name.split(":")
        for text, value in (
            (name, int(long) / int(short)),
            (f"{short}:{long}", int(short) / int(long)),
        ):
            if math.isclose(value, ratio, rel_tol=ASPECT_ROUNDING):
                return text
    return f"{ratio:.3g}:1"


def count(n: int, one: str, many: str | None = None) -> str:
    """Write a count with its noun: "1 picture", "2 pictures"."""
    return f"{n} {one if n == 1 else many or one + 's'}"


def listed(parts: list[str]) -> str:
    """Join words as a sentence does: "a, b and c"."""
    if not parts[1:]:
        return "".join(parts)
    return f"{', '.join(parts[:-1])} and {parts[-1]}"


def file_name(file: str) -> str:
    """Write a file's name so that it can be shown: no control characters, valid Unicode."""
    valid = file.encode("utf-8", "replace").decode("utf-8")
    return "".join(c if c.isprintable() else "\ufffd" for c in valid)


MONTHS = (
    "January",
    "February",
    "March",
    "April",
    "May",
    "June",
    "July",
    "August",
    "September",
    "October",
    "November",
    "December",
)


def day(created: str) -> str:
    """Write an ISO 8601 time as a date in words; anything else as it is."""
    try:
        date = datetime.fromisoformat(created)
    except ValueError:
        return file_name(created)
    return f"{date.day} {MONTHS[date.month - 1]} {date.year}"


def moment(taken: str | None) -> str:
    """Write an ISO 8601 time as a date in words with the time of day; anything else as it is."""
    try:
        return f"{day(taken)}, {datetime.fromisoformat(taken):%H:%M}" if taken else ""
    except ValueError:
        return file_name(taken or "")
