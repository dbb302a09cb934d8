"""Names of camera angles, and the elevations above the table that they mean.

A name means its zone: any angle inside is as planned. A number means itself, with the whole
tolerance. Straight on, three-quarter and overhead are the camera angles that food photographers
name; "low" and "high" describe what lies between them. A zone includes its upper end (common
practice, no source).
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass

from auditor.accepted import Accepted
from auditor.vocabulary.listed import Listed, by_form, entries_in, without, word_set
from auditor.vocabulary.number_phrases import decimal_number, number_of_words

LEVEL_DEG, STRAIGHT_DOWN_DEG = 0.0, 90.0


@dataclass(frozen=True, slots=True)
class CameraAngle:
    """A named zone of camera elevations, in degrees above the table.

    Attributes
    ----------
    words : str
    nominal_deg : float
        What stands for the zone: its middle, or its end where nothing lies beyond.
    least_deg, most_deg : float
    also : tuple of str
    """

    words: str
    nominal_deg: float
    least_deg: float
    most_deg: float
    also: tuple[str, ...] = ()

    @property
    def accepted(self) -> Accepted:
        """What the name means in a plan."""
        return Accepted(self.nominal_deg, ((self.least_deg, self.most_deg),), self.words)


ANGLES = (
    CameraAngle(
        "overhead",
        90.0,
        80.0,
        90.0,
        (
            "flat lay",
            "flatlay",
            "top down",
            "bird's eye",
            "straight down",
            "from above",
            "above",
            "top shot",
            "top",
            "from the top",
            "aerial",
            "birdseye",
            "bird eye",
        ),
    ),
    CameraAngle("high", 70.0, 60.0, 80.0, ("steep", "from high up", "looking down")),
    CameraAngle(
        "three-quarter",
        45.0,
        30.0,
        60.0,
        (
            "3/4",
            "three-quarters",
            "diner's eye",
            "diner's",
            "seated diner's",
            "diner's perspective",
            "angled",
        ),
    ),
    CameraAngle(
        "low",
        22.5,
        15.0,
        30.0,
        ("from low down", "slightly from above", "slightly above", "slightly elevated"),
    ),
    CameraAngle(
        "straight on",
        0.0,
        0.0,
        15.0,
        (
            "head on",
            "eye level",
            "table level",
            "level",
            "level with the table",
            "front on",
            "side on",
            "side",
            "from the side",
            "table height",
        ),
    ),
)
ELEVATION_WORDS = tuple(angle.words for angle in ANGLES)
# Upper ends of the zones in degrees, with the words for a measured angle.
CAMERA_WORDS = (
    (15.0, "level with the table"),
    (30.0, "low"),
    (60.0, "three-quarter"),
    (80.0, "high"),
    (90.0, "overhead"),
)

_FILLERS = word_set("angle view shot camera a at an the almost nearly very quite directly exactly")
_BY_FORM: Mapping[str, CameraAngle] = {
    without(form, _FILLERS): angle for form, angle in by_form(ANGLES).items()
}
_DEGREES = re.compile(r"(\d+(?:[.,]\d+)?)\s*(?:°|º|deg\b\.?|degrees?|ish)?")
_AROUND_NUMBER = re.compile(r"^at (?=\d)|^an?\s+|\s+(?:angle|view|shot)$")


def elevation_of_words(text: str) -> Accepted | None:
    """Read a camera angle in words or in degrees as text; None where unknown.

    Degrees outside 0 to 90 are unknown, too.
    """
    found = _named(without(text, _FILLERS))
    if found is not None:
        return found
    phrase = _AROUND_NUMBER.sub("", text.casefold().strip())
    return number_of_words(phrase, _one_angle, LEVEL_DEG, STRAIGHT_DOWN_DEG)


def _named(phrase: str) -> Accepted | None:
    """The zone of a name; of two names all between; of a name and degrees these degrees."""
    numbers = [word for word in phrase.split() if _DIGITS.fullmatch(word)]
    names = [word for word in phrase.split() if word not in {"degrees", "degree", "deg"}]
    found = entries_in(" ".join(names), _BY_FORM)
    if not found and len(numbers) == 1 and (number := float(numbers[0])) <= STRAIGHT_DOWN_DEG:
        names.remove(numbers[0])
        is_named = bool(entries_in(" ".join(names), _BY_FORM))
        return Accepted.exactly(number) if is_named else None
    zones = [angle.accepted for angle in dict.fromkeys(found)]
    if len(zones) > 1:
        return Accepted.from_to(zones[0], zones[-1])
    return zones[0] if zones else None


_DIGITS = re.compile(r"\d{1,2}")


def _one_angle(text: str) -> float | None:
    found = _DEGREES.fullmatch(text.strip())
    return None if found is None else decimal_number(found[1])


def camera_words(elevation_deg: float) -> str:
    """Name a camera angle in words: ``"three-quarter"``."""
    return next((words for end, words in CAMERA_WORDS if elevation_deg <= end), "overhead")


def listed_angles() -> tuple[Listed, ...]:
    """The camera angles for the list of words."""
    return (
        *(
            Listed(one.words, f"{one.least_deg:.0f} to {one.most_deg:.0f}°", one.also)
            for one in ANGLES
        ),
        Listed(
            "45",
            "degrees above the table: 0 is level with it, 90 straight down",
            ("45°", "45 degrees"),
        ),
        Listed("40 to 50", "a range of degrees", ("[40, 50]", "{ from = 40, to = 50 }")),
    )
