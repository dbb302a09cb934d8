"""Words for the colour temperature of a finished picture.

A planned colour temperature is that of the picture's neutrals as displayed: what is white in the
scene reads about 6504 K where it looks white, less where it looks yellow. It is not the setting of
the camera: a picture taken in tungsten light and balanced for it is neutral. So "daylight" means
the look of daylight, from neutral to slightly warm; "tungsten" and "candlelight" mean that the
picture keeps the colour of such light. A number means itself: 5600 is a picture whose whites are
slightly warm, 25 mired from neutral.

Ranges are in mired (a million over kelvin), where equal steps look about equal. On 40 finished
pictures of dishes by many hands half lay within 148 to 157 mired and eight of ten within 138 to
168: neutral is that, warm and cool begin where few pictures are (our choice, no other source).
"""

from __future__ import annotations

import re
from dataclasses import dataclass

from auditor.accepted import Accepted
from auditor.vocabulary.listed import Listed, by_form, entries_in, without
from auditor.vocabulary.number_phrases import decimal_number, number_of_words

# No light for photography has a colour temperature outside this range: a candle has about 1850 K,
# a clear north sky up to about 20000 K (common practice, no source). A number outside it is more
# likely a typing mistake.
LEAST_KELVIN, MOST_KELVIN = 1000.0, 25000.0


@dataclass(frozen=True, slots=True)
class Temperature:
    """A colour temperature in words.

    Attributes
    ----------
    words : str
    cool_mired, warm_mired : float
        The range.
    nominal_mired : float
        What stands for it.
    meaning : str
    also : tuple of str
    """

    words: str
    cool_mired: float
    warm_mired: float
    nominal_mired: float
    meaning: str
    also: tuple[str, ...] = ()

    @property
    def accepted(self) -> Accepted:
        """What it means in a plan, in mired."""
        return Accepted(self.nominal_mired, ((self.cool_mired, self.warm_mired),), self.words)


TEMPERATURES = (
    Temperature(
        "neutral", 138, 170, 1e6 / 6504, "whites look white", ("clean", "balanced", "true", "white")
    ),
    Temperature(
        "daylight", 140, 200, 1e6 / 6000, "from neutral to slightly warm", ("natural", "sunlight")
    ),
    Temperature("warm", 165, 260, 190, "whites look slightly yellow", ("warmer", "slightly warm")),
    Temperature(
        "very warm",
        210,
        350,
        250,
        "whites look yellow",
        ("golden", "golden hour", "late sun", "sunset", "sunrise"),
    ),
    Temperature(
        "tungsten", 260, 400, 1e6 / 3200, "keeps the orange of lamps", ("incandescent", "lamplight")
    ),
    Temperature(
        "candlelight", 350, 560, 1e6 / 2000, "keeps the orange of candles", ("candle", "firelight")
    ),
    Temperature(
        "cool",
        95,
        143,
        125,
        "whites look slightly blue",
        ("cold", "cooler", "slightly cool", "shade", "overcast"),
    ),
    Temperature("very cool", 40, 115, 90, "whites look blue", ("icy", "blue hour")),
)
_FILLERS = frozenset(
    {
        "light",
        "tones",
        "tone",
        "look",
        "white",
        "balance",
        "balanced",
        "temperature",
        "the",
        "and",
        "a",
        "bit",
    }
)
_TEMPERATURES = by_form(TEMPERATURES)
_KELVIN = re.compile(r"(\d{4,5}(?:[.,]\d+)?|\d{1,2}[ .,]\d{3})\s*(?:k|kelvin|°k)?")


_WORD = re.compile(rf"\b(?:{'|'.join(sorted(_TEMPERATURES, key=len, reverse=True))})\b")


def temperature_of_words(text: str) -> Accepted | None:
    """Read a colour temperature in words or as ``"5600K"``, in mired; None where unknown."""
    words = text.casefold()
    named = _named(words)
    if named is not None:
        return named
    # In "daylight, 5600 K" the number says it more exactly.
    for text_of_number in (words, _WORD.sub(" ", words).strip(" ,;()")):
        kelvin = number_of_words(text_of_number, _one_kelvin, LEAST_KELVIN, MOST_KELVIN)
        if kelvin is not None:
            return mired_of_kelvin(kelvin)
    return None


def _named(text: str) -> Accepted | None:
    """The range of a name, or of several: ``"neutral, warm"``."""
    whole = _TEMPERATURES.get(without(text, ()))
    found = (whole,) if whole else entries_in(without(text, _FILLERS), _TEMPERATURES)
    # "Cool daylight" is cool, "neutral daylight" neutral.
    said = [one for one in found if len(found) == 1 or one.words != "daylight"]
    if not said:
        return None
    return (
        said[0].accepted
        if len(said) == 1
        else Accepted.from_to(said[0].accepted, said[-1].accepted)
    )


def mired_of_kelvin(kelvin: Accepted) -> Accepted:
    """The same temperatures in mired."""
    spans = tuple((1e6 / most, 1e6 / least) for least, most in kelvin.spans)
    return Accepted(1e6 / kelvin.nominal, spans, kelvin.words)


def _one_kelvin(text: str) -> float | None:
    found = _KELVIN.fullmatch(text.strip())
    if found is None:
        return None
    digits = found[1]
    if re.fullmatch(r"\d{1,2}[ .,]\d{3}", digits):
        return float(re.sub(r"\D", "", digits))
    return decimal_number(digits)


def listed_temperatures() -> tuple[Listed, ...]:
    """The colour temperatures for the list of words."""
    return (
        *(
            Listed(
                one.words,
                f"{one.meaning}: {_hundreds(one.warm_mired)} to {_hundreds(one.cool_mired)} K",
                one.also,
            )
            for one in TEMPERATURES
        ),
        Listed("5600", "kelvin of the finished picture's whites; neutral is 6504", ("5600K",)),
        Listed("5000 to 6000K", "a range; also [5000, 6000]"),
    )


def _hundreds(mired: float) -> str:
    return f"{round(1e6 / mired, -2):.0f}"
