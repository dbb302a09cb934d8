"""How much room words take.

Pillow's own font is measured, so that a layout is the same on every machine; what it has no letters
for is measured as a square for each letter, the width of a Chinese character.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

from PIL import ImageFont

MEASURED_AT = 100.0  # size at which a letter is measured
SQUARE = 1.0  # width over the size of the text
LINE_HEIGHT = 1.2
# How much wider a browser's font may be than the measured one: of the page's fonts DejaVu Sans is
# the widest, by a sixth (measured on the names of the demo's plan).
BROWSER_WIDENING = 1.18
_NO_LETTER = "\uffff"


@dataclass(frozen=True, slots=True)
class Lettering:
    """Text of one size.

    Attributes
    ----------
    size : float
        Of the text, in units of the drawing.
    widening : float
        Of the font that is drawn over the one that is measured.
    """

    size: float
    widening: float = 1.0

    def width(self, text: str) -> float:
        """Width of one line."""
        return self.size * self.widening * text_width(text)

    @property
    def line_height(self) -> float:
        """From one line to the next."""
        return LINE_HEIGHT * self.size


def text_width(text: str) -> float:
    """Width of a line over the size of its text."""
    known = "".join(letter for letter in text if has_letter(letter))
    return _font().getlength(known) / MEASURED_AT + SQUARE * (len(text) - len(known))


@cache
def has_letter(letter: str) -> bool:
    """Whether Pillow's own font can draw a letter."""
    if letter.isspace():
        return True
    font = _font()
    return bytes(font.getmask(letter)) != bytes(font.getmask(_NO_LETTER))


@cache
def _font() -> ImageFont.FreeTypeFont:
    font = ImageFont.load_default(MEASURED_AT)
    if not isinstance(font, ImageFont.FreeTypeFont):
        raise TypeError("Pillow has no scalable font here: it was built without FreeType")
    return font
