"""The quantities that hold a set together: how each is read, judged and put into words."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace

from auditor.measurements.colour_temperature import mired_from_warmth
from auditor.measurements.measured_photograph import MeasuredPhotograph
from auditor.measurements.tone import MIDDLE_GREY, Tone
from auditor.series.white_balance.set_temperatures import SetTemperature


@dataclass(frozen=True, slots=True)
class Reading:
    """A value of one picture with the distance within which it is trusted."""

    value: float
    tolerance: float


@dataclass(frozen=True, slots=True)
class SetQuantity:
    """How one quantity is followed over a set.

    Attributes
    ----------
    name, unit : str
    read : callable
        Takes a measured picture; None where it has no value.
    noticeable : float
        A smaller deviation is never told: people would not see it, or it is ordinary variety.
    least_spread : float
        A set cannot be more even than the quantity can be measured.
    higher, lower : str
        What is said of a picture above and below the rest, with ``{amount}`` in it, and for clock
        positions ``{value}`` and ``{centre}`` in words; empty where that is no fault.
    circular : bool
        True for clock positions.
    others : tuple of callable
        Other readings of the same, in the same unit. A set was made by one of them, exposed for the
        frame or for what is lightest, say, and is judged by that in which it is steadiest.
    scale : callable
        The scale on which a picture must lie apart as well as on that of the unit: sizes are
        compared by their ratio, and a set of small things is no steadier than one of large ones.
    """

    name: str
    unit: str
    read: Callable[[MeasuredPhotograph], Reading | None]
    noticeable: float
    least_spread: float
    higher: str
    lower: str
    circular: bool = False
    others: tuple[Callable[[MeasuredPhotograph], Reading | None], ...] = ()
    scale: Callable[[float], float] | None = None


# A doubtful value accuses nobody: readings less sure than this stay out of the set's statistics.
LEAST_CONFIDENCE = 0.5
# An average farther from D65 is that of a thing that fills the frame: nobody develops so far off.
FARTHEST_AVERAGE_MIRED = 110.0
LEAST_FRACTION = 0.01  # of the frame: below it ratios of sizes say nothing


def _trusted(confidence: float | None) -> bool:
    return confidence is not None and confidence >= LEAST_CONFIDENCE


def _tint(measured: MeasuredPhotograph) -> Reading | None:
    quantity = measured.colour_temperature
    if quantity.value is None or not _trusted(quantity.confidence):
        return None
    return Reading(quantity.value.duv, 0)


def _exposure(measured: MeasuredPhotograph) -> Reading | None:
    return Reading(measured.tone.exposure_ev, 0)


def lightness_ev(tone: Tone) -> float:
    """Exposure by the mean lightness, as the eye averages (CIE 15:2018), in EV from middle grey."""
    root = max(tone.mean_lightness + 16, 16.1) / 116
    return 3 * math.log2(root) - math.log2(MIDDLE_GREY)


def _midtone_ev(measured: MeasuredPhotograph) -> Reading | None:
    return Reading(measured.tone.midtone_ev, 0)


def _average_mired(measured: MeasuredPhotograph) -> Reading | None:
    warmth = measured.colours.average_warmth
    if warmth is None or abs(warmth) > FARTHEST_AVERAGE_MIRED:
        return None
    return Reading(mired_from_warmth(warmth), 0)


def _octaves(fraction: float) -> float:
    return math.log2(fraction + LEAST_FRACTION)


def _subject_size(measured: MeasuredPhotograph) -> Reading | None:
    quantity = measured.subject
    if quantity.value is None or not _trusted(quantity.confidence):
        return None
    return Reading(quantity.value.area_fraction, 0)


def _negative_space(measured: MeasuredPhotograph) -> Reading | None:
    quantity = measured.negative_space
    if quantity.value is None or not _trusted(quantity.confidence):
        return None
    return Reading(quantity.value.fraction, quantity.tolerance or 0)


def _camera_elevation(measured: MeasuredPhotograph) -> Reading | None:
    quantity = measured.camera_elevation
    if quantity.value is None or not _trusted(quantity.confidence):
        return None
    return Reading(quantity.value.deg, quantity.tolerance or 0)


def _light(measured: MeasuredPhotograph) -> Reading | None:
    quantity = measured.light
    if quantity.value is None or not _trusted(quantity.confidence):
        return None
    return Reading(quantity.value.clock, quantity.tolerance or 0)


def _roll(measured: MeasuredPhotograph) -> Reading | None:
    quantity = measured.roll
    if quantity.value is None or not _trusted(quantity.confidence):
        return None
    return Reading(quantity.value.deg, quantity.tolerance or 0)


def _sharpness(measured: MeasuredPhotograph) -> Reading | None:
    quantity = measured.focus
    if quantity.value is None or not _trusted(quantity.confidence):
        return None
    return Reading(quantity.value.subject_sharpness, 0)


REST = "than the rest of the set"

# Sources of `noticeable`: 1/3 EV is the step of exposure controls (common practice, no source);
# 15 mired is three just noticeable steps of about 5 mired (from memory); the others are common
# practice, no source: sizes and angles vary from frame to frame on purpose.
COLOUR_TEMPERATURE = SetQuantity(
    "colour_temperature",
    "mired",
    lambda _: None,  # told by the set: see `set_quantities`
    noticeable=15,
    least_spread=5,
    higher=f"{{amount}} mired warmer {REST}",
    lower=f"{{amount}} mired cooler {REST}",
    others=(_average_mired,),
)
SET_QUANTITIES: tuple[SetQuantity, ...] = (
    COLOUR_TEMPERATURE,
    SetQuantity(
        "tint",
        "Duv",
        _tint,
        noticeable=0.006,
        least_spread=0.003,
        higher=f"greener {REST} (Duv {{amount}} higher)",
        lower=f"pinker {REST} (Duv {{amount}} lower)",
    ),
    SetQuantity(
        "exposure",
        "EV",
        _exposure,
        noticeable=1 / 3,
        least_spread=0.1,
        higher=f"{{amount}} EV lighter {REST}",
        lower=f"{{amount}} EV darker {REST}",
        others=(lambda picture: Reading(lightness_ev(picture.tone), 0), _midtone_ev),
    ),
    SetQuantity(
        "subject_size",
        "fraction of frame",
        _subject_size,
        noticeable=0.15,
        least_spread=0.04,
        higher=f"the subject fills more of the frame {REST} (by {{amount}} of it)",
        lower=f"the subject fills less of the frame {REST} (by {{amount}} of it)",
        scale=_octaves,
    ),
    SetQuantity(
        "negative_space",
        "fraction of frame",
        _negative_space,
        noticeable=0.2,
        least_spread=0.05,
        higher=f"emptier {REST} (by {{amount}} of the frame)",
        lower=f"fuller {REST} (by {{amount}} of the frame)",
        scale=lambda empty: -_octaves(1 - empty),
    ),
    SetQuantity(
        "camera_elevation",
        "deg",
        _camera_elevation,
        noticeable=15,
        least_spread=4,
        higher=f"seen from {{amount}}° higher {REST}",
        lower=f"seen from {{amount}}° lower {REST}",
    ),
    SetQuantity(
        "light",
        "h",
        _light,
        noticeable=2,
        least_spread=0.5,
        higher="lit from the {value}, the rest of the set from the {centre}",
        lower="lit from the {value}, the rest of the set from the {centre}",
        circular=True,
    ),
    SetQuantity(
        "roll",
        "deg",
        _roll,
        noticeable=1,
        least_spread=0.4,
        higher="tilted {amount}° anticlockwise against the rest of the set",
        lower="tilted {amount}° clockwise against the rest of the set",
    ),
    SetQuantity(
        "subject_sharpness",
        "",
        _sharpness,
        noticeable=0.5,
        least_spread=0.05,
        higher="",
        lower=f"the subject is softer {REST} (by {{amount}})",
    ),
)

# Beside these, contrast, saturation and palette leave the set by rules of their own; all share the
# few false alarms that a set may have.
N_QUANTITIES = len(SET_QUANTITIES) + 3


def set_quantities(temperatures: Mapping[str, SetTemperature]) -> tuple[SetQuantity, ...]:
    """The quantities of a set whose colour temperatures were compared like with like."""

    def read(picture: MeasuredPhotograph) -> Reading | None:
        told = temperatures.get(picture.file)
        return None if told is None else Reading(told.mired, told.tolerance)

    return (replace(COLOUR_TEMPERATURE, read=read), *SET_QUANTITIES[1:])
