"""Numbers rounded as a person writes them into a plan."""

from __future__ import annotations

from collections.abc import Sequence

from auditor.geometry import Point, clock_difference_hours
from auditor.vocabulary.light import LIGHT_WORDS, clock_of_light
from auditor.vocabulary.ratios import USUAL_RATIOS

# Steps in which people write numbers; each is less than half of the tolerance of its quantity
# (`auditor.quantities`), so that rounding alone never makes a picture miss its draft.
SHARE_STEP, SMALL_SHARE_STEP = 0.05, 0.01
SMALL_SHARE = 0.1  # a smaller share of the frame is written to the hundredth
PLACE_STEP = 0.05
SKETCH_PLACE_STEP = 0.01  # a drawn frame states its places; they are taken as drawn
ELEVATION_STEP_DEG = 5.0
KELVIN_STEP = 100.0
CLOCK_STEP_H = 0.5
# The lines of thirds, which photographers write as they are (0.33 and 0.67).
THIRDS = (0.33, 0.67)
ON_LINE = 0.015  # of the frame's side: about the error of a measured place
# Those that people draw; others lie too near to them for a frame drawn by hand (our choice).
DRAWN_RATIOS = ("1:1", "5:4", "4:3", "3:2", "16:9")
# Relative: a row of pixels more or less, or a crop by hand, is still the usual ratio; 5:4 and 4:3
# lie 0.066 apart (arithmetic).
RATIO_ROUNDING = 0.01


def rounded(value: float, step: float) -> float:
    """The nearest multiple of a step, without the noise of binary fractions."""
    return round(round(value / step) * step, 6)


def share(fraction: float) -> float:
    """A share of the frame; never 0 for one that is above it."""
    if fraction < SMALL_SHARE:
        return max(SMALL_SHARE_STEP, rounded(fraction, SMALL_SHARE_STEP))
    return min(1.0, rounded(fraction, SHARE_STEP))


def drawn_share(fraction: float) -> float:
    """The share of a drawn frame that an outline encloses; never 0."""
    return min(1.0, max(SMALL_SHARE_STEP, rounded(fraction, SMALL_SHARE_STEP)))


def place(at: Point) -> list[float]:
    """A position: to the twentieth of the frame, or on a line of thirds."""
    return [_coordinate(at.x), _coordinate(at.y)]


def drawn_place(at: Point) -> list[float]:
    """A position in a drawn frame."""
    return [min(1.0, max(0.0, rounded(one, SKETCH_PLACE_STEP))) for one in at]


def elevation(deg: float) -> int:
    """Degrees above the table, in [0, 90]."""
    return int(min(90.0, max(0.0, rounded(deg, ELEVATION_STEP_DEG))))


def kelvin(cct_k: float) -> int:
    """A colour temperature."""
    return int(rounded(cct_k, KELVIN_STEP))


def clock(hours: float) -> float:
    """A light direction, in (0, 12]."""
    return rounded(hours, CLOCK_STEP_H) % 12 or 12.0


def light_word(hours: float) -> str:
    """The word for where light comes from that is nearest to a clock position."""
    return min(LIGHT_WORDS, key=lambda word: abs(_hours_from(word, hours)))


def usual_ratio(
    ratio: float, within: float = RATIO_ROUNDING, usual: Sequence[str] = USUAL_RATIOS
) -> str | None:
    """The usual aspect ratio nearest to width over height, as in ``"4:5"``.

    Parameters
    ----------
    ratio : float
    within : float
        Relative difference up to which it is taken; beyond it the result is None.
    usual : sequence of str
        Those to choose from, the longer side first.
    """
    named = [_turned(name) if ratio < 1 else name for name in usual]
    best = min(named, key=lambda name: abs(ratio_value(name) / ratio - 1))
    return best if abs(ratio_value(best) / ratio - 1) <= within else None


def _turned(name: str) -> str:
    first, second = name.split(":")
    return f"{second}:{first}"


def ratio_value(name: str) -> float:
    """Width over height of a ratio such as ``"4:5"``."""
    first, second = name.split(":")
    return float(first) / float(second)


def _coordinate(value: float) -> float:
    on_line = next((line for line in THIRDS if abs(line - value) <= ON_LINE), None)
    near = rounded(min(1.0, max(0.0, value)), PLACE_STEP)
    return near if on_line is None else on_line


def _hours_from(word: str, hours: float) -> float:
    of_word = clock_of_light(word)
    if of_word is None:
        raise ValueError(f"{word!r} names no light")
    return clock_difference_hours(of_word, hours)
