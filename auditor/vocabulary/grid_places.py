"""Places on the lines of thirds and off the centre of the frame."""

from __future__ import annotations

import re

from auditor.geometry import Box, Point
from auditor.vocabulary.frame_sides import (
    ACROSS,
    CENTRE_FROM,
    CENTRE_TO,
    DOWN,
    outer,
    side_words,
)
from auditor.vocabulary.shares import share_of_words
from auditor.vocabulary.zones import Zone

# What of the tolerance is allowed into the middle for "off centre": with all of it, the centre
# itself would do (geometry).
OFF_CENTRE_REACH = 0.25
_OFF_CENTRE = frozenset({"off centre", "off center", "offcentre", "offcenter", "not centred"})
_CROSSINGS = re.compile(
    r"(?:on |at |near )?(?:an? |the |one of the )?"
    r"(?:(?:rule of )?thirds? |third line |grid )?"
    r"(?:intersections?|crossings?|crossing points?|power points?|points?)"
    r"(?: of (?:the )?(?:rule of )?(?:thirds?|grid|lines))?"
)
_SLIGHTLY = re.compile(r"^(?:slightly|just|a bit|a little) ")
_BESIDE_CENTRE = re.compile(
    r"(?:slightly )?off ?cent(?:re|er) (?:(?:to|on) the )?(?P<side>left|right)"
)
_ONE_CROSSING = re.compile(
    r"(?:on |at )?(?:the )?(?P<down>upper|top|lower|bottom) (?P<across>left|right) "
    r"(?:thirds? )?(?:intersection|crossing|power point|point)"
)
_FROM_SIDE = re.compile(
    r"(?:about )?(?P<share>.+?) (?:of the way )?from (?:the )?(?P<side>left|right|top|bottom)"
)
_ONE_LINE = re.compile(
    r"(?:on |along )?(?:the )?(?P<side>left|right|upper|top|lower|bottom) "
    r"(?:thirds? line|line of thirds?|line of the thirds?)"
)
_LINES = re.compile(
    r"(?:on |along )?(?:an? |the |one of the )?"
    r"(?:lines? of (?:the )?thirds?|thirds? lines?|third|thirds|rule of thirds)"
)


def grid_place(phrase: str, near: float) -> Zone | None:
    """The zone of a place in plain words; None for another.

    Parameters
    ----------
    phrase : str
    near : float
        The near line: a third of the frame, or that of the golden ratio.
    """
    if _SLIGHTLY.sub("", phrase) in _OFF_CENTRE:
        return _off_centre()
    if beside := _BESIDE_CENTRE.fullmatch(phrase):
        return _off_centre_on(ACROSS[beside["side"]])
    if one := _ONE_CROSSING.fullmatch(phrase):
        return _crossing(ACROSS[one["across"]], DOWN[one["down"]], near)
    if measured := _FROM_SIDE.fullmatch(phrase):
        return _line_at(measured["share"], measured["side"])
    if line := _ONE_LINE.fullmatch(phrase):
        return _line(line["side"], near)
    if _CROSSINGS.fullmatch(phrase):
        return _crossings(near)
    if _LINES.fullmatch(phrase):
        return _lines(near)
    return None


def _off_centre() -> Zone:
    """All of the frame but the middle that is called the centre."""
    return Zone(
        "off centre",
        (
            Box(0.0, 0.0, CENTRE_FROM, 1.0),
            Box(CENTRE_TO, 0.0, 1.0, 1.0),
            Box(0.0, 0.0, 1.0, CENTRE_FROM),
            Box(0.0, CENTRE_TO, 1.0, 1.0),
        ),
        Point(1 / 3, 0.5),
        reach=OFF_CENTRE_REACH,
    )


def _off_centre_on(across: int) -> Zone:
    left, right = outer(across, CENTRE_FROM)
    box = Box(left, 0.0, right, 1.0)
    return Zone(
        f"off centre on the {side_words(across, 0)}", (box,), box.centre, reach=OFF_CENTRE_REACH
    )


def _crossing(across: int, down: int, near: float) -> Zone:
    from_middle = 0.5 - near
    at = Point(0.5 + from_middle * across, 0.5 + from_middle * down)
    return Zone(f"{side_words(across, down)} intersection", (Box(*at, *at),), at)


def _line_at(share: str, side: str) -> Zone | None:
    """The line at a share of the frame from a side: ``"two thirds from the left"``."""
    # In plain words "2/3" is "2 3".
    part = share_of_words(re.sub(r"^(\d) (\d)$", r"\1/\2", share))
    if part is None or not part.is_value:
        return None
    at = part.nominal if side in {"left", "top"} else 1 - part.nominal
    words = f"{part.nominal:.0%} from the {side}"
    if side in ACROSS:
        return Zone(words, (Box(at, 0.0, at, 1.0),), Point(at, 0.5))
    return Zone(words, (Box(0.0, at, 1.0, at),), Point(0.5, at))


def _line(side: str, near: float) -> Zone:
    if side in ACROSS:
        x = near if ACROSS[side] < 0 else 1 - near
        return Zone(f"{side} line of thirds", (Box(x, 0.0, x, 1.0),), Point(x, 0.5))
    y = near if DOWN[side] < 0 else 1 - near
    words = f"{side_words(0, DOWN[side])} line of thirds"
    return Zone(words, (Box(0.0, y, 1.0, y),), Point(0.5, y))


def _crossings(near: float) -> Zone:
    points = [Point(x, y) for y in (near, 1 - near) for x in (near, 1 - near)]
    return Zone("on an intersection", tuple(Box(*at, *at) for at in points), points[0])


def _lines(near: float) -> Zone:
    far = 1 - near
    boxes = (
        Box(near, 0.0, near, 1.0),
        Box(far, 0.0, far, 1.0),
        Box(0.0, near, 1.0, near),
        Box(0.0, far, 1.0, far),
    )
    return Zone("on a line of thirds", boxes, Point(near, near))
