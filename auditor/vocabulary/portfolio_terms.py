"""Terms for pictures that are no one set: in what they vary, in what two are compared, faults.

They stand here, so that a record is read without the code that compares pictures.
"""

from __future__ import annotations

from enum import StrEnum


class Dimension(StrEnum):
    """What pictures may vary in, in the order of the page."""

    CAMERA_ANGLE = "camera_angle"
    LIGHT = "light"
    DIVISION = "division"
    SUBJECT_SIZE = "subject_size"
    DISH_SHAPE = "dish_shape"
    KEY = "key"
    SUBJECT_COLOUR = "subject_colour"
    GROUND_COLOUR = "ground_colour"
    RATIO = "ratio"


class Trait(StrEnum):
    """What two pictures are compared in."""

    CAMERA_ANGLE = "camera_angle"
    LIGHT = "light"
    PLACE = "place"
    SUBJECT_SIZE = "subject_size"
    DISH_SHAPE = "dish_shape"
    LIGHTNESS = "lightness"
    SUBJECT_COLOURS = "subject_colours"
    GROUND_COLOURS = "ground_colours"
    RATIO = "ratio"


class Fault(StrEnum):
    """What is weak, the gravest first: what cannot be mended, then what can."""

    MISSED_FOCUS = "missed_focus"
    MOTION_BLUR = "motion_blur"
    CLIPPED = "clipped"
    SMALL = "small"
    MIXED_LIGHT = "mixed_light"
    CAST = "cast"
    TILT = "tilt"
