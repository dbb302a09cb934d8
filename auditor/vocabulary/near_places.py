"""Places a little off the middle of the frame, and places in depth: "behind on the right".

"Just left of centre" is the strip between the near line of the golden ratio and the middle: nearer
to the middle than the line of a third, which is what "left" means (our choice, no source).
"""

from __future__ import annotations

import math
import re
from collections.abc import Callable

from auditor.geometry import GOLDEN_RATIO, Box
from auditor.vocabulary.frame_sides import Interval, side_words
from auditor.vocabulary.zones import Zone

_STRIP_FROM, _MIDDLE = 1 - 1 / GOLDEN_RATIO, 0.5
_MIDDLE_THIRD = (1 / 3, 2 / 3)
_A_LITTLE = r"(?:slightly|just|(?:only )?a (?:bit|little|touch))"
_CENTRE = r"(?:the )?(?:cent(?:re|er)|middle)(?: of the (?:frame|picture|image))?"
_ACROSS = re.compile(
    rf"{_A_LITTLE} (?:off (?:the )?cent(?:re|er) )?(?:(?:to|on) )?(?:the )?(?P<side>left|right)"
    rf"(?: (?:of|from) {_CENTRE}| of {_CENTRE})?(?= |$)"
)
_DOWN = re.compile(
    rf"{_A_LITTLE} (?P<side>above|below) {_CENTRE}(?= |$)|{_A_LITTLE} (?P<alone>high|low)(?= |$)"
)
_DIRECTIONS = {"left": -1, "right": 1, "above": -1, "high": -1, "below": 1, "low": 1}
_LITTLE_WORDS = {-1: "above", 1: "below"}
_DEPTH = re.compile(
    r"(?:(?:in|at|to|on) )?(?:the )?"
    r"(?:(?P<far>far back|back|behind|rear|background)|(?P<near>in front|front|foreground))"
    r" (?:(?:and )?(?:on|to|at) )?(?:the )?(?P<side>left|right)(?: hand)?(?: side| corner)?"
)


def place_in_depth(phrase: str) -> str | None:
    """The place in the frame of words such as "back left": "upper left"; None for others.

    What stands behind is higher in the picture, what stands in front lower.
    """
    found = _DEPTH.fullmatch(phrase)
    if found is None:
        return None
    return f"{'upper' if found['far'] else 'lower'} {found['side']}"


def near_centre(phrase: str, read: Callable[[str], Zone | None]) -> Zone | None:
    """The zone of words with a slight direction; None for others.

    Parameters
    ----------
    phrase : str
        In plain words.
    read : callable
        Reads the words that are left: "lower third" of "lower third, slightly right".
    """
    across, down = _ACROSS.search(phrase), _DOWN.search(phrase)
    if across is None and down is None:
        return None
    rest = _DOWN.sub("", _ACROSS.sub("", phrase)).strip().removesuffix(" and").strip()
    horizontal = None if across is None else _DIRECTIONS[across["side"]]
    vertical = None if down is None else _DIRECTIONS[down["side"] or down["alone"]]
    if not rest or rest == "and":
        return _strips(horizontal, vertical)
    zone = read(rest)
    if zone is None or len(zone.boxes) != 1 or zone.is_point:
        return None
    (box,) = zone.boxes
    # What is a whole band in one direction is narrowed in that direction alone.
    if horizontal is not None and vertical is None and math.isclose(box.left + box.right, 1):
        left, right = _strip(horizontal)
        box = Box(left, box.top, right, box.bottom)
        words = f"{zone.words}, slightly {side_words(horizontal, 0)}"
    elif vertical is not None and horizontal is None and math.isclose(box.top + box.bottom, 1):
        top, bottom = _strip(vertical)
        box = Box(box.left, top, box.right, bottom)
        words = f"{zone.words}, slightly {_LITTLE_WORDS[vertical]} centre"
    else:
        return None
    return Zone(words, (box,), box.centre)


def _strips(across: int | None, down: int | None) -> Zone:
    left, right = _MIDDLE_THIRD if across is None else _strip(across)
    top, bottom = _MIDDLE_THIRD if down is None else _strip(down)
    sides = [] if down is None else [_LITTLE_WORDS[down]]
    if across is not None:
        sides.append(f"{side_words(across, 0)} of")
    box = Box(left, top, right, bottom)
    return Zone(f"slightly {' and '.join(sides)} centre", (box,), box.centre)


def _strip(direction: int) -> Interval:
    return (_STRIP_FROM, _MIDDLE) if direction < 0 else (_MIDDLE, 1 - _STRIP_FROM)
