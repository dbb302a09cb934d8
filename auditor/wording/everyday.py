"""Amounts in everyday words: fractions of a side, stops, hours of the dial."""

from __future__ import annotations

import math

from auditor.geometry import Point, clock_difference_hours

# Fractions that people say, and their words (our choice, no source).
_FRACTIONS = (
    (1 / 20, "a twentieth"),
    (1 / 10, "a tenth"),
    (1 / 8, "an eighth"),
    (1 / 6, "a sixth"),
    (1 / 5, "a fifth"),
    (1 / 4, "a quarter"),
    (1 / 3, "a third"),
    (2 / 5, "two fifths"),
    (1 / 2, "half"),
    (3 / 5, "three fifths"),
    (2 / 3, "two thirds"),
    (3 / 4, "three quarters"),
    (4 / 5, "four fifths"),
)
LEAST_FRACTION = 0.035  # below it, "less than a twentieth"
NEARLY_ALL = 0.9

_NUMBERS = ("no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine")
THIRDS = {0: "", 1: "a third", 2: "two thirds"}  # of a stop, as exposure is set
LEAST_STOPS = 1 / 6  # less rounds to no third
_SAME_HOURS = 1e-9  # rounding errors are no movement
CARDINALS = {12.0: "the back", 3.0: "the right", 6.0: "the front", 9.0: "the left"}


def fraction_words(share: float) -> str:
    """Write a positive share as the nearest fraction that people say: ``"about a sixth"``."""
    if share < LEAST_FRACTION:
        return "less than a twentieth"
    if share > NEARLY_ALL:
        return "nearly all" if share <= 1 else "more than all"
    nearest = min(_FRACTIONS, key=lambda one: abs(math.log(one[0] / share)))
    return f"about {nearest[1]}"


def moved_words(wanted: Point, found: Point, width: float, height: float) -> str:
    """Say how far, and to which side of where it should be, something lies.

    ``"about a sixth of the frame’s width too far right and about a tenth of its height too low"``.
    A side that is less than half of the other, in pixels, is left out: it would not be what one
    sees. Empty where the two places are one.

    Parameters
    ----------
    wanted, found : Point
        Fractions of the frame.
    width, height : float
        Of the frame, in pixels.
    """
    across, down = found.x - wanted.x, found.y - wanted.y
    across_px, down_px = abs(across) * width, abs(down) * height
    parts = []
    if across and across_px * 2 > down_px:
        way = "too far right" if across > 0 else "too far left"
        parts.append(f"{fraction_words(abs(across))} of the frame’s width {way}")
    if down and down_px * 2 > across_px:
        way = "too low" if down > 0 else "too high"
        whose = "its" if parts else "the frame’s"
        parts.append(f"{fraction_words(abs(down))} of {whose} height {way}")
    return " and ".join(parts)


def stops_words(ev: float) -> str:
    """Write a positive difference of exposure in stops, to the third: ``"a stop and a third"``."""
    if ev < LEAST_STOPS:
        return "less than a third of a stop"
    whole, third = divmod(round(ev * 3), 3)
    if whole == 0:
        return f"{THIRDS[third]} of a stop"
    stops = "a stop" if whole == 1 else f"{_number(whole)} stops"
    return f"{stops} and {THIRDS[third]}" if third else stops


def hours_words(hours: float) -> str:
    """Write a positive distance round the clock dial: ``"half an hour"``, ``"three hours"``.

    To the quarter below one hour, to the half from there on.
    """
    quarters = max(1, round(hours * 4))
    if quarters < 4:
        return {1: "a quarter of an hour", 2: "half an hour", 3: "three quarters of an hour"}[
            quarters
        ]
    whole, half = divmod(round(hours * 2), 2)
    if whole == 1:
        return "an hour and a half" if half else "an hour"
    return f"{_number(whole)} and a half hours" if half else f"{_number(whole)} hours"


def way_round(planned: float, measured: float) -> str:
    """Name the side of the dial towards which one clock position lies from another.

    The back (12), the right (3), the front (6) or the left (9): the one nearest to `measured` of
    those that it is nearer to than `planned` is. Empty where the two are one.
    """
    nearer = [
        hour for hour in CARDINALS if _apart(hour, measured) < _apart(hour, planned) - _SAME_HOURS
    ]
    return CARDINALS[min(nearer, key=lambda hour: _apart(hour, measured))] if nearer else ""


def _apart(first: float, second: float) -> float:
    """Hours between two clock positions the shorter way round, in [0, 6]."""
    return abs(clock_difference_hours(first, second))


def _number(whole: int) -> str:
    return _NUMBERS[whole] if whole < len(_NUMBERS) else str(whole)
