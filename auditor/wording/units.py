"""The units of the page, each explained where it first stands."""

from __future__ import annotations

import re
from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Unit:
    """A unit, how it is recognised in a text, and what it means."""

    name: str
    pattern: re.Pattern[str]
    meaning: str


UNITS = (
    Unit(
        "of the diagonal",
        re.compile(r"of the diagonal"),
        "a distance in the frame as a share of its diagonal: 0.10 is a tenth of the way from one "
        "corner to the opposite one",
    ),
    Unit(
        "clock position",
        re.compile(r"clock dial|\(\d{1,2}:\d\d|lit from \d|Median \d{1,2}:\d\d"),
        "where the light comes from, on a clock dial laid on the table with the subject in its "
        "middle and the camera at 6: 12 is behind the subject, 9 left, 3 right; an hour is 30°",
    ),
    Unit(
        "K",
        re.compile(r"\d K\b"),
        "kelvin, the colour temperature of the finished picture’s greys and whites: about 6500 K "
        "is neutral, fewer are warmer, more are cooler",
    ),
    Unit(
        "mired",
        re.compile(r"\bmired\b"),
        "1,000,000 divided by kelvin; more is warmer, and a step of as many mired looks about as "
        "large at any kelvin. A raw developer works the other way round: a higher kelvin setting "
        "makes the picture warmer",
    ),
    Unit(
        "EV",
        re.compile(r"\d EV\b"),
        "exposure value: 1 EV is one stop, twice or half the light",
    ),
    Unit(
        "ΔE₀₀",
        re.compile("ΔE₀₀"),
        "how different two colours look (CIEDE2000): about 1 can just be seen side by side, 10 is "
        "plain to see",
    ),
    Unit(
        "Duv",
        re.compile(r"\bDuv\b"),
        "tint, the distance of the greys from the line of warm to cool light: above 0 greenish, "
        "below 0 pinkish",
    ),
    Unit("L*", re.compile(r"L\*"), "lightness as the eye sees it, from 0 (black) to 100 (white)"),
    Unit("C*", re.compile(r"C\*"), "how colourful: 0 is grey, an orange has about 70"),
)
