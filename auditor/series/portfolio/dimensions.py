"""The dimensions along which pictures of no one set vary, and the class of a picture in each.

A class is a zone that photographers have a name for. A picture whose reading is more likely wrong
than right has no class there.
"""

from __future__ import annotations

import itertools
from collections.abc import Callable
from typing import TypeVar

from auditor.measurements.measured_photograph import MeasuredPhotograph
from auditor.measurements.technique_fit import near_techniques
from auditor.quantity import MOST_DOUBT, Quantity
from auditor.series.portfolio.colour_families import ColourFamily, colour_family
from auditor.vocabulary.camera_angle import CAMERA_WORDS
from auditor.vocabulary.light import DIAL_HOURS, LIGHT_WORDS
from auditor.vocabulary.portfolio_terms import Dimension
from auditor.vocabulary.ratios import USUAL_RATIOS
from auditor.vocabulary.sizes import SIZES
from auditor.vocabulary.techniques import TECHNIQUES

Value = TypeVar("Value")

ANGLES = ("level", "low", "three_quarter", "high", "overhead")
KEYS = ("low", "middle", "high")
DISHES = ("round", "oval", "flat", "rectangle")
NO_DIVISION = "none"
OTHER_RATIO = "other"
SIZE_NAMES = tuple(size.words.replace(" ", "_") for size in SIZES)
# Where two sizes of the vocabulary overlap, the middle of both is their border.
SIZE_BORDERS = tuple((small.most + large.least) / 2 for small, large in itertools.pairwise(SIZES))
# Minor over major axis of a rim: from the first on it is seen round, to the second flat, as a cup
# or a bowl from the side; sin 66 and sin 24 degrees (our choice, no source).
ROUND_FROM, FLAT_TO = 0.915, 0.407
# Semi-axis, of the diagonal: a smaller rim is a cup or a jar beside the dish (our choice).
LEAST_DISH = 0.12
RATIO_TOLERANCE = 0.02  # of the ratio: a crop by hand is within 0.01 of it


def trusted(quantity: Quantity[Value]) -> Value | None:
    """The value, unless it is more likely wrong than right."""
    if quantity.doubt is None or quantity.doubt > MOST_DOUBT:
        return None
    return quantity.value


def _angle(picture: MeasuredPhotograph) -> str | None:
    elevation = trusted(picture.camera_elevation)
    if elevation is None:
        return None
    ends = [end for end, _ in CAMERA_WORDS]
    return ANGLES[sum(elevation.deg > end for end in ends[:-1])]


def _light(picture: MeasuredPhotograph) -> str | None:
    light = trusted(picture.light)
    if light is None:
        return None
    n = len(LIGHT_WORDS)
    return LIGHT_WORDS[round(light.clock * n / DIAL_HOURS) % n].replace(" ", "_")


def _division(picture: MeasuredPhotograph) -> str | None:
    if trusted(picture.subject) is None or not picture.technique_fit:
        return None
    near = near_techniques(picture.technique_fit)
    return near[0] if near else NO_DIVISION


def _size(picture: MeasuredPhotograph) -> str | None:
    subject = trusted(picture.subject)
    if subject is None:
        return None
    return SIZE_NAMES[sum(subject.area_fraction > border for border in SIZE_BORDERS)]


def _dish(picture: MeasuredPhotograph) -> str | None:
    elevation = trusted(picture.camera_elevation)
    if elevation is None:
        return None
    axes = [max(e.semi_axes) for e in elevation.ellipses]
    if axes and max(axes) >= LEAST_DISH:
        largest = elevation.ellipses[axes.index(max(axes))].semi_axes
        ratio = min(largest) / max(largest)
        return "flat" if ratio <= FLAT_TO else "oval" if ratio < ROUND_FROM else "round"
    return "rectangle" if elevation.rectangles else None


def _key(picture: MeasuredPhotograph) -> str:
    return picture.tone.key


def _subject_colour(picture: MeasuredPhotograph) -> ColourFamily | None:
    if trusted(picture.subject) is None or not picture.subject_palette:
        return None
    return colour_family(picture.subject_palette[0].lab)


def _ground_colour(picture: MeasuredPhotograph) -> ColourFamily | None:
    surface = trusted(picture.surface)
    if surface is not None:
        return colour_family(surface.lab)
    return colour_family(picture.ground_palette[0].lab) if picture.ground_palette else None


def _ratio(picture: MeasuredPhotograph) -> str:
    ratio = picture.width / picture.height
    for name in USUAL_RATIOS:
        longer, shorter = (float(side) for side in name.split(":"))
        if abs(max(ratio, 1 / ratio) / (longer / shorter) - 1) <= RATIO_TOLERANCE:
            return name if ratio >= 1 else ":".join(reversed(name.split(":")))
    return OTHER_RATIO


CLASS_OF: dict[Dimension, Callable[[MeasuredPhotograph], str | None]] = {
    Dimension.CAMERA_ANGLE: _angle,
    Dimension.LIGHT: _light,
    Dimension.DIVISION: _division,
    Dimension.SUBJECT_SIZE: _size,
    Dimension.DISH_SHAPE: _dish,
    Dimension.KEY: _key,
    Dimension.SUBJECT_COLOUR: _subject_colour,
    Dimension.GROUND_COLOUR: _ground_colour,
    Dimension.RATIO: _ratio,
}
# All classes of a dimension in their own order; ratios have none and come by their number.
CLASSES: dict[Dimension, tuple[str, ...]] = {
    Dimension.CAMERA_ANGLE: ANGLES,
    Dimension.LIGHT: tuple(word.replace(" ", "_") for word in LIGHT_WORDS),
    Dimension.DIVISION: (*TECHNIQUES, NO_DIVISION),
    Dimension.SUBJECT_SIZE: SIZE_NAMES,
    Dimension.DISH_SHAPE: DISHES,
    Dimension.KEY: KEYS,
    Dimension.SUBJECT_COLOUR: tuple(ColourFamily),
    Dimension.GROUND_COLOUR: tuple(ColourFamily),
}

# The measurement that a class is read from; keys and formats are exact.
READ_FROM: dict[Dimension, str] = {
    Dimension.CAMERA_ANGLE: "camera_elevation",
    Dimension.LIGHT: "light",
    Dimension.DIVISION: "subject",
    Dimension.SUBJECT_SIZE: "subject",
    Dimension.DISH_SHAPE: "camera_elevation",
    Dimension.SUBJECT_COLOUR: "subject",
    Dimension.GROUND_COLOUR: "surface",
}


def doubt_of(dimension: Dimension, picture: MeasuredPhotograph) -> float:
    """Probability that the class of a picture is read wrongly altogether."""
    if dimension not in READ_FROM:
        return 0.0
    quantity: Quantity[object] = getattr(picture, READ_FROM[dimension])
    return quantity.doubt or 0.0
