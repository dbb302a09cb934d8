"""Fonts for the words of a drawing, and how much room words take.

Pillow's own font is measured and drawn, so that a drawing is the same on every machine. It has the
letters of English alone: for other words the first font of this machine that has all their letters
takes its place, and where there is none, letters lose their accents.
"""

from __future__ import annotations

import unicodedata
from dataclasses import dataclass
from functools import cache

from PIL import ImageFont

MEASURED_AT = 100.0  # size at which a word is measured
LINE_HEIGHT = 1.2
# How much wider a browser's font may be than the measured one: of the page's fonts DejaVu Sans is
# the widest, by a sixth (measured on the names of the demo's plan).
BROWSER_WIDENING = 1.18
# Files of fonts with many letters, on Linux, macOS and Windows (from memory).
SYSTEM_FONTS = (
    "DejaVuSans.ttf",
    "LiberationSans-Regular.ttf",
    "NotoSans-Regular.ttf",
    "Arial.ttf",
    "arial.ttf",
    "segoeui.ttf",
    "Arial Unicode.ttf",
    "NotoSansCJK-Regular.ttc",
    "PingFang.ttc",
    "msyh.ttc",
    "YuGothM.ttc",
    "malgun.ttf",
)
OWN_FONT = ""
NO_SHAPE = "\u25a1"  # in place of a letter that no font here has
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


@cache
def text_width(text: str) -> float:
    """Width of a line over the size of its text."""
    name, drawn = font_and_text(text)
    return font_of(name, MEASURED_AT).getlength(drawn) / MEASURED_AT


@cache
def font_and_text(text: str) -> tuple[str, str]:
    """The name of the font in which a text is drawn, and the text as it is drawn."""
    for name in (OWN_FONT, *SYSTEM_FONTS):
        if _has_all(name, text):
            return name, text
    plain = unicodedata.normalize("NFKD", text)
    without = (letter for letter in plain if not unicodedata.combining(letter))
    return OWN_FONT, "".join(one if _has_all(OWN_FONT, one) else NO_SHAPE for one in without)


@cache
def font_of(name: str, size: float) -> ImageFont.FreeTypeFont:
    """A font by its name.

    Raises
    ------
    OSError
        Where this machine has no such font.
    TypeError
        Where Pillow was built without scalable fonts.
    """
    font = ImageFont.truetype(name, size) if name else ImageFont.load_default(size)
    if not isinstance(font, ImageFont.FreeTypeFont):
        raise TypeError("Pillow has no scalable font here: it was built without FreeType")
    return font


def _has_all(name: str, text: str) -> bool:
    """Whether a font is here and has a shape for every letter of a text."""
    try:
        font = font_of(name, MEASURED_AT)
    except OSError:
        return False
    missing = bytes(font.getmask(_NO_LETTER))
    letters = (letter for letter in set(text) if not letter.isspace())
    return all(bytes(font.getmask(letter)) != missing for letter in letters)
