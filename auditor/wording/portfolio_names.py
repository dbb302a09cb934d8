"""Names of the dimensions, classes and traits of pictures that are no one set."""

from __future__ import annotations

TITLES: dict[str, str] = {
    "camera_angle": "Camera angle",
    "light": "Light",
    "division": "Division of the frame",
    "subject_size": "Size of the subject",
    "dish_shape": "Outline of the dish",
    "key": "Key",
    "subject_colour": "Main colour of the subject",
    "ground_colour": "Main colour of the surface",
    "ratio": "Format",
}
# The name of each class beside its bar, and what is said of the pictures that have it.
CLASS_NAMES: dict[str, dict[str, tuple[str, str]]] = {
    "camera_angle": {
        "level": ("level with the table", "level with the table"),
        "low": ("low", "taken from a low angle"),
        "three_quarter": ("three-quarter", "taken at a three-quarter angle"),
        "high": ("high", "taken from a high angle"),
        "overhead": ("overhead", "taken straight down"),
    },
    "light": {
        "back": ("back", "lit from the back"),
        "back_right": ("back right", "lit from the back right"),
        "right": ("right", "lit from the right"),
        "front_right": ("front right", "lit from the front right"),
        "front": ("front", "lit from the front"),
        "front_left": ("front left", "lit from the front left"),
        "left": ("left", "lit from the left"),
        "back_left": ("back left", "lit from the back left"),
    },
    "division": {
        "rule of thirds": ("rule of thirds", "the subject on a point of the rule of thirds"),
        "golden ratio": ("golden ratio", "the subject on a point of the golden ratio"),
        "centred": ("centred", "the subject in the centre"),
        "golden triangles": ("golden triangles", "the subject on a point of the golden triangles"),
        "golden spiral": ("golden spiral", "the subject in an eye of the golden spiral"),
        "none": ("near none of them", "the subject near none of the named divisions"),
    },
    "subject_size": {
        "tiny": ("tiny", "a tiny subject"),
        "small": ("small", "a small subject"),
        "medium": ("medium", "a subject of medium size"),
        "large": ("large", "a large subject"),
        "filling_the_frame": ("filling the frame", "a subject that fills the frame"),
    },
    "dish_shape": {
        "round": ("round", "a dish seen round"),
        "oval": ("oval", "a dish seen oval"),
        "flat": ("flat oval, from the side", "a dish seen from the side"),
        "rectangle": ("rectangular", "a rectangular board or tray"),
    },
    "key": {
        "low": ("low key", "in low key"),
        "middle": ("middle key", "in middle key"),
        "high": ("high key", "in high key"),
    },
    "ratio": {"other": ("other", "in no usual format")},
}
# The verb of one picture and of several, and what stands after "the only one".
IS, HAS, SHOWS = ("is", "are", ""), ("has", "have", "with "), ("shows", "show", "with ")
VERBS: dict[str, tuple[str, str, str]] = {
    "division": HAS,
    "subject_size": HAS,
    "dish_shape": SHOWS,
    "subject_colour": SHOWS,
}
TRAITS: dict[str, str] = {
    "camera_angle": "camera angle",
    "light": "light",
    "place": "place of the subject",
    "subject_size": "size of the subject",
    "dish_shape": "outline of the dish",
    "lightness": "lightness",
    "subject_colours": "colours of the food",
    "ground_colours": "colours around it",
    "ratio": "format",
}
DIFFERENCES: dict[str, str] = {
    "camera_angle": "camera angle",
    "ground_colour": "colour of the surface",
    "subject_colour": "colour of the food",
}


def class_name(dimension: str, name: str) -> str:
    """What stands beside the bar of a class."""
    known = CLASS_NAMES.get(dimension, {}).get(name)
    return name if known is None else known[0]


def of_class(dimension: str, name: str) -> str:
    """Say what a picture of the class is, has or shows: ``"lit from the left"``."""
    known = CLASS_NAMES.get(dimension, {}).get(name)
    if known is not None:
        return known[1]
    if dimension == "subject_colour":
        return f"mainly {name} food"
    if dimension == "ground_colour":
        return f"on a mainly {name} surface"
    return name
