"""The record's names in a photographer's words."""

from __future__ import annotations

from auditor.record.picture_record import (
    ItemRecord,
    ReasonRecord,
)
from auditor.wording.numbers import clock, percent

TITLES = {
    "subject": "Subject’s place",
    "subject_size": "Subject’s size",
    "technique": "Technique",
    "camera_elevation": "Camera angle",
    "light": "Light",
    "diagonal": "Diagonal",
    "negative_space": "Empty space",
    "negative_space_side": "Side of empty space",
    "colour_temperature": "Colour temperature",
    "palette": "Palette",
    "background": "Background",
    "surface": "Surface",
    "aspect_ratio": "Aspect ratio",
    "roll": "Level",
    "tint": "Tint",
    "contrast": "Contrast",
    "saturation": "Saturation",
    "exposure": "Exposure",
    "subject_sharpness": "Subject’s sharpness",
}

SUPPORTING_PREFIX = "supporting: "
SUPPORTING_TITLE = "Supporting elements"
SERIES_PREFIX = "series: "

# Verdicts in words; each has a shape of its own beside the word.
VERDICT_WORDS = {
    "met": "as planned",
    "close": "close",
    "missed": "missed",
    "undecided": "could not tell",
}

# Upper ends in degrees. Common practice among food photographers, no source: straight-on, about
# 45 degrees and overhead are the three usual angles; the words between are descriptive.
CAMERA_WORDS = (
    (15.0, "level with the table"),
    (30.0, "low"),
    (60.0, "three-quarter"),
    (80.0, "high"),
    (90.0, "overhead"),
)

# Upper ends in hours away from 12 (common practice, no source: side light is 9 or 3 o'clock).
LIGHT_WORDS = (
    (0.75, "back light"),
    (2.25, "three-quarter back light"),
    (4.5, "side light"),
    (6.0, "front light"),
)
STRAIGHT_HOURS = 0.25  # nearer than this to 12 or 6 the light comes from neither side

# The middle fifth of the frame is "centre": a third's line, at 0.33, is clearly off it.
CENTRE_FROM, CENTRE_TO = 0.4, 0.6

REASONS_FOR = {  # whose reason explains why an item could not be decided
    "subject_size": "subject",
    "technique": "subject",
    "negative_space_side": "negative_space",
}


def title(quantity: str) -> str:
    """Name a quantity for people, whatever it is called in the record."""
    if quantity.startswith(SUPPORTING_PREFIX):
        name = quantity.removeprefix(SUPPORTING_PREFIX)
        return name[:1].upper() + name[1:]
    if quantity.startswith(SERIES_PREFIX):
        return f"{title(quantity.removeprefix(SERIES_PREFIX))} of the set"
    plain = quantity.replace("_", " ")
    return TITLES.get(quantity, plain[:1].upper() + plain[1:])


def title_of_kind(quantity: str) -> str:
    """Name a quantity, all supporting elements being one."""
    return SUPPORTING_TITLE if quantity.startswith(SUPPORTING_PREFIX) else title(quantity)


def in_sentence(quantity: str) -> str:
    """Name a quantity inside a sentence."""
    named = title(quantity)
    if quantity.startswith(SUPPORTING_PREFIX):
        return f"the {quantity.removeprefix(SUPPORTING_PREFIX)}"
    return named[:1].lower() + named[1:]


def camera_words(elevation_deg: float) -> str:
    """Say where the camera stands."""
    return next((words for end, words in CAMERA_WORDS if elevation_deg <= end), "overhead")


def light_words(hours: float) -> str:
    """Say where the light comes from: kind and side."""
    away = min(hours % 12, 12 - hours % 12)
    kind = next(words for end, words in LIGHT_WORDS if away <= end)
    if away < STRAIGHT_HOURS or 6 - away < STRAIGHT_HOURS:
        return kind
    return f"{kind} from the {'right' if hours % 12 < 6 else 'left'}"


def light_text(hours: float) -> str:
    """Say the clock direction and what it means."""
    return f"{clock(hours)}, {light_words(hours)}"


def place_words(x: float, y: float) -> str:
    """Name a place in the frame."""
    down = "upper" if y < CENTRE_FROM else "lower" if y > CENTRE_TO else ""
    across = "left" if x < CENTRE_FROM else "right" if x > CENTRE_TO else ""
    if down and across:
        return f"{down} {across}"
    if across:
        return f"{across} of centre"
    return f"{down} centre".strip()


def place_text(x: float, y: float) -> str:
    """Name a place in the frame and give its numbers."""
    return f"{place_words(x, y)}: {percent(x)} across, {percent(y)} down"


def direction_words(dx: float, dy: float) -> str:
    """Say on which side one place lies of another; `dx`, `dy` in one unit, y downwards.

    A side that is less than half of the other is left out: it would not be what one sees.
    """
    across = ("right of" if dx > 0 else "left of") if abs(dx) * 2 > abs(dy) else ""
    down = ("below" if dy > 0 else "above") if abs(dy) * 2 > abs(dx) else ""
    return " and ".join(part for part in (down, across) if part) or "at"


def diagonal_words(angle_deg: float) -> str:
    """Say which way a diagonal runs."""
    if angle_deg == 0:
        return "level"
    return "rising" if angle_deg > 0 else "falling"


def why_not(item: ItemRecord, reasons: dict[str, ReasonRecord]) -> str:
    """Say why an item could not be decided."""
    own = REASONS_FOR.get(item.quantity, item.quantity)
    if own in reasons:
        return reasons[own].message
    if item.measured is None:
        return "Nothing was found to measure it by."
    return "The measurement is not sure enough to call it met or missed."
