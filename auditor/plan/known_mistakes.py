"""What to write for mistakes that are often made, by the kind of phrase that was expected."""

from __future__ import annotations

import re
from collections.abc import Callable

from auditor.vocabulary.light import light_of_words
from auditor.vocabulary.temperatures import LEAST_KELVIN, MOST_KELVIN

NO_FOCUS = (
    "focus cannot be planned: leave it out, or keep it as a note under a key of your own, as in "
    'focus = "…"'
)
NO_COLOUR = (
    "a colour cannot be ruled out, not even with without (that names things): leave it out, and "
    "name the colours that are wanted"
)
NO_FLASH = (
    "whether a flash was used cannot be told from a picture: write where the light comes from, as "
    'in light = "back left"'
)
NO_NEGATION = "a plan says what is wanted: write that, or leave the line out"
NO_GLOSS = (
    "gloss and texture are not compared: name a colour or a material, as in "
    'surface = "black" or "slate"'
)
_ANSWERS: dict[str, tuple[tuple[str, str], ...]] = {
    "a direction of light": (
        (
            r"(from )?(the )?(left( and)?( the)? right|right( and)?( the)? left|both sides)",
            'one main light can be planned: write its side, or for either side write "side light"',
        ),
        (r".*\bflash\b.*", NO_FLASH),
    ),
    "a technique": (
        (
            r"z[- ]?(?:shape|curve|composition)?",
            'no such line is measured; nearest are "S-curve" and "diagonals"',
        ),
    ),
    "a camera angle": (
        (
            r"\d+(?:[.,]\d+)?\s*mm",
            (
                "that is a lens; degrees are written 45, and a lens may stand as a note, as in "
                'lens = "45 mm"'
            ),
        ),
    ),
    "a colour temperature": (
        (
            r"orange(?: cast| tones?)?",
            (
                'for an orange cast write "tungsten" or "candlelight"; for an orange thing write '
                'palette = "orange"'
            ),
        ),
    ),
    "a colour": ((r"(?:shiny|glossy|glossiness|gloss|matte?|reflective|sparkling)", NO_GLOSS),),
    "a format": (
        (r".*\d.*\bsquare", 'that is said in two ways: write the ratio, as in "4:5", or "square"'),
        (r"square\b.*\d.*", 'that is said in two ways: write the ratio, as in "4:5", or "square"'),
        (r"(?:din )?a[0-6](?: portrait| upright)?", 'a sheet of A4 upright is "1:1.41"'),
        (r"(?:din )?a[0-6] (?:landscape|wide)", 'a sheet of A4 lying is "1.41:1"'),
    ),
}
_FOCUS = re.compile(
    r"\b(?:bokeh|blur(?:red|ry)?|out of focus|in focus|focus(?:ed)?|depth of field|dof|"
    r"tack sharp|sharp)\b"
)
_NEGATION = re.compile(r"^(?:no|not|never|without|avoid)\b")
_LARGE_PERCENT = re.compile(r"(\d+(?:[.,]\d+)?)\s*(?:%|percent|per cent)")
_KELVIN = re.compile(r"(\d+)\s*(?:k|kelvin)?")
_DIAL = re.compile(r"(?:at )?(\d{1,2})(?:[:.h]\d{1,2})?(?:\s*(?:h|hours?|o'?clock))?")
_HIGH = re.compile(r"\b(?:upper|top)[- ](left|right)\b")
_FULL = 100


def answer_to(kind: str, written: object) -> str | None:
    """Say what to write instead of a text of which the mistake is known; None for others.

    Parameters
    ----------
    kind : str
        What was expected: `Kind.what`.
    written : object
        The value.
    """
    if written in ([], ""):
        return "this is empty: leave the line out, or write a value"
    if not isinstance(written, str):
        return None
    phrase = " ".join(written.casefold().split())
    for pattern, answer in _ANSWERS.get(kind, ()):
        if re.fullmatch(pattern, phrase):
            return answer
    if _FOCUS.search(phrase) and kind != "a direction of light":  # sharp light is hard
        return NO_FOCUS
    if _NEGATION.search(phrase):
        return NO_COLOUR if kind == "a colour" else NO_NEGATION
    number = _NUMBERS.get(kind)
    return None if number is None else number(phrase)


def as_kelvin(number: float) -> str:
    """What a number was meant to be that lacks zeros: ``": did you mean 5600?"``."""
    for meant in (10 * number, 100 * number):
        if 2000 <= meant <= 10000:
            return f": did you mean {meant:.0f}?"
    return ""


def _share(phrase: str) -> str | None:
    found = _LARGE_PERCENT.fullmatch(phrase)
    is_large = found is not None and float(found[1].replace(",", ".")) > _FULL
    return "a share of the frame is at most 100%" if is_large else None


def _kelvin(phrase: str) -> str | None:
    found = _KELVIN.fullmatch(phrase)
    if found is None or LEAST_KELVIN <= float(found[1]) <= MOST_KELVIN:
        return None
    meant = as_kelvin(float(found[1]))
    return f"must be between {LEAST_KELVIN:.0f} and {MOST_KELVIN:.0f} kelvin{meant}"


def _light(phrase: str) -> str | None:
    if high := _HIGH.search(phrase):
        return (
            f'light from behind the subject stands at the top of the picture: write light = "back '
            f'{high[1]}"'
        )
    found = _DIAL.fullmatch(phrase)
    if found is None or light_of_words(phrase) is not None:
        return None
    return (
        "the dial runs from 1:00 to 12:00, a clock that lies on the table with the camera at 6; "
        '"10:30" is back left'
    )


_NUMBERS: dict[str, Callable[[str], str | None]] = {
    "a direction of light": _light,
    "a size": _share,
    "empty space": _share,
    "a colour temperature": _kelvin,
}
