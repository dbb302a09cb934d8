"""Names of places in the frame: the zones that they mean, and their positions.

==============================  ==============  =============================================
place in words                  position        zone, across × down
==============================  ==============  =============================================
centre (center, middle)         1/2, 1/2        the position alone
left                            1/3, 1/2        left third × middle third
right                           2/3, 1/2        right third × middle third
top (upper)                     1/2, 1/3        middle third × top third
bottom (lower)                  1/2, 2/3        middle third × bottom third
upper left (top left) …         1/3, 1/3 …      left third × top third …
left third, top third …         its middle      that third, whole
left edge, top edge …           its middle      the outer eighth along that edge
upper left corner …             its middle      the outer sixth × the outer sixth
left half, top half …           its middle      that half, whole
slightly left of centre …       its middle      0.38 to 0.5 across × middle third
back left, behind on the left   1/3, 1/3        as upper left; in front as lower left
off centre                      1/3, 1/2        all but the middle fifth of both directions
on an intersection              1/3, 1/3        the four points where the lines cross
on a line of thirds             1/3, 1/3        the four lines
behind (the subject)            above it        over the subject, as wide and half again
in front (of the subject)       below it        under the subject, as wide and half again
beside (next to the subject)    on its right    left and right of the subject, as high as it is
left of the subject, right of   beside it       that side of the subject, as high as it is
around the subject              above it        behind it, in front of it and beside it
on the subject, under it        its middle      the subject's box
==============================  ==============  =============================================

A zone begins at the line of thirds and runs to the edge of the frame; where the technique is the
golden ratio, it begins at that line (1/phi = 0.618), and so does the position lie on it. Thirds are
what "upper right" means among photographers (common practice, no source). Order and hyphens do not
matter: "right, upper" is "upper-right". A centre may be added: "upper centre" is "top", "left of
centre" is "left". Several places joined with "or" are one zone of several parts. Those named after
the subject are zones only with its box; without a subject they are outer thirds of the frame.
"""

from __future__ import annotations

import re

from auditor.geometry import GOLDEN_RATIO, Box, Point
from auditor.vocabulary.frame_sides import (
    ACROSS,
    CENTRE_FROM,
    CENTRE_TO,
    DOWN,
    outer,
    side_words,
)
from auditor.vocabulary.grid_places import grid_place
from auditor.vocabulary.listed import alternatives, without, word_set
from auditor.vocabulary.near_places import near_centre, place_in_depth
from auditor.vocabulary.plain_words import plain_words
from auditor.vocabulary.zones import Relation, Zone

PLACE_WORDS = (
    "centre",
    "left",
    "right",
    "top",
    "bottom",
    "upper left",
    "upper right",
    "lower left",
    "lower right",
)
# Further words for a supporting element, and those without "behind" and its like for the subject.
FRAME_WORDS = (
    *(f"{side} third" for side in ("left", "right", "top", "bottom")),
    *(f"{side} half" for side in ("left", "right", "top", "bottom")),
    *(f"{side} edge" for side in ("left", "right", "top", "bottom")),
    *(f"{down} {across} corner" for down in ("upper", "lower") for across in ("left", "right")),
    "off centre",
    "on an intersection",
    "on a line of thirds",
)
RELATION_WORDS = (
    "behind",
    "in front",
    "beside",
    "left of the subject",
    "right of the subject",
    "around the subject",
    "on the subject",
    "under the subject",
)

# Depth of the zone along an edge and side of that in a corner, of the frame's side. What lies at an
# edge is often cut off by it, and its visible part is small (our choice, no source).
EDGE_DEPTH, CORNER_SIDE = 1 / 8, 1 / 6

_NEAR_THIRD = 1 / 3
_NEAR_GOLDEN = 1 - 1 / GOLDEN_RATIO

_CENTRE = frozenset({"centre", "center", "middle", "central", "centred", "centered"})
_PARTS = ("third", "half", "edge", "corner")
_FILLERS = word_set(
    "a an at dead exactly far frame hand image in just on picture right-hand side "
    "slightly the to towards"
)
_EITHER_SIDE = frozenset({"either", "one", "off", "off one"})  # without "side"
RELATION_FORMS = {
    "behind": Relation.BEHIND,
    "in back": Relation.BEHIND,
    "background": Relation.BEHIND,
    "above": Relation.BEHIND,
    "in front": Relation.IN_FRONT,
    "before": Relation.IN_FRONT,
    "foreground": Relation.IN_FRONT,
    "below": Relation.IN_FRONT,
    "beside": Relation.BESIDE,
    "next to": Relation.BESIDE,
    "alongside": Relation.BESIDE,
    "around": Relation.AROUND,
    "round": Relation.AROUND,
    "scattered around": Relation.AROUND,
    "near": Relation.AROUND,
    "close to": Relation.AROUND,
    "on": Relation.ON,
    "on top of": Relation.ON,
    "under": Relation.UNDER,
    "underneath": Relation.UNDER,
    "beneath": Relation.UNDER,
}
_MUST_NAME_SUBJECT = frozenset({"on"})
_SUBJECT = ("it", "the subject", "the dish", "subject", "the plate", "the bowl", "the food")


def zone_of_place(text: str, technique: str | None) -> Zone | None:
    """Turn the words of a place into the zone that they mean under a technique.

    Returns
    -------
    Zone or None
        None where the words name no place.
    """
    near = _NEAR_GOLDEN if technique == "golden ratio" else _NEAR_THIRD
    zones = [_one_place(plain_words(part), near) for part in alternatives(text)]
    known = [zone for zone in zones if zone is not None]
    return Zone.any_of(known) if known and len(known) == len(zones) else None


def _one_place(phrase: str, near: float) -> Zone | None:
    relation = _relation(phrase)
    if relation is not None:
        return Zone(relation.value, relation=relation)
    in_depth = place_in_depth(phrase)
    if in_depth is not None:
        return _place_in_frame(in_depth, near)
    slight = near_centre(phrase, lambda rest: _one_place(rest, near))
    if slight is not None:
        return slight
    grid = grid_place(phrase, near)
    if grid is not None:
        return grid
    if phrase.endswith("side") and without(phrase, _FILLERS) in _EITHER_SIDE:
        return Zone.any_of([_side_third(-1, near), _side_third(1, near)])
    return _place_in_frame(phrase, near)


def _place_in_frame(phrase: str, near: float) -> Zone | None:
    joined = re.sub(r"(?<=\S) of (?:the (?:frame|picture|image))$", "", phrase)
    joined = re.sub(r"(?<=\S) of (?:the )?(?=\S)", " ", joined)
    words = without(joined, _FILLERS).split()
    if "third" in words[:-1]:  # "lower third, left"
        words.remove("third")
    part = words.pop() if words and words[-1] in _PARTS else ""
    across = [ACROSS[word] for word in words if word in ACROSS]
    down = [DOWN[word] for word in words if word in DOWN]
    n_known = len(across) + len(down) + sum(word in _CENTRE for word in words)
    if not words or n_known != len(words) or len(across) > 1 or len(down) > 1:
        return None
    return _zone(sum(across), sum(down), part, near, n_centre=n_known - len(across) - len(down))


def _relation(phrase: str) -> Relation | None:
    """The relation to the subject that a phrase names."""
    for prefix in ("", "in the ", "to the ", "on the ", "at the "):
        if prefix and not phrase.startswith(prefix):
            continue
        rest = phrase.removeprefix(prefix)
        for subject in _SUBJECT:
            if rest in {f"left of {subject}", f"left from {subject}"}:
                return Relation.LEFT_OF
            if rest in {f"right of {subject}", f"right from {subject}"}:
                return Relation.RIGHT_OF
            head = rest.removesuffix(f" {subject}").removesuffix(" of")
            if head != rest and head in RELATION_FORMS:
                return RELATION_FORMS[head]
        if rest in RELATION_FORMS and rest not in _MUST_NAME_SUBJECT:
            return RELATION_FORMS[rest]
    return None


def _side_third(direction: int, near: float) -> Zone:
    left, right = outer(direction, near)
    box = Box(left, 0.0, right, 1.0)
    return Zone(f"{side_words(direction, 0)} third", (box,), box.centre)


def _zone(across: int, down: int, part: str, near: float, n_centre: int) -> Zone | None:
    """The zone on a side or in a corner of the frame: -1 for the near one, +1 for the far one."""
    sides = (across != 0) + (down != 0)
    words = side_words(across, down)
    if part == "third" and sides == len(("across", "down")):
        part = ""  # "upper left third" is the upper left
    if part and (n_centre or sides != (2 if part == "corner" else 1)):
        return None
    if not part:
        return _zone_at_line(across, down, near, words)
    depth = {"third": near, "half": 0.5, "edge": EDGE_DEPTH, "corner": CORNER_SIDE}[part]
    left, right = outer(across, depth) if across else (0.0, 1.0)
    top, bottom = outer(down, depth) if down else (0.0, 1.0)
    box = Box(left, top, right, bottom)
    return Zone(f"{words} {part}", (box,), box.centre)


def _zone_at_line(across: int, down: int, near: float, words: str) -> Zone:
    """The zone that begins at the line of a third, or the centre."""
    from_middle = 0.5 - near
    point = Point(0.5 + from_middle * across, 0.5 + from_middle * down)
    if not across and not down:
        return Zone(words, (Box(*point, *point),), point)
    left, right = outer(across, near) if across else (near, 1 - near)
    top, bottom = outer(down, near) if down else (near, 1 - near)
    return Zone(words, (Box(left, top, right, bottom),), point)


def place_words(x: float, y: float) -> str:
    """Name the part of the frame in which a position lies."""
    down = "upper" if y < CENTRE_FROM else "lower" if y > CENTRE_TO else ""
    across = "left" if x < CENTRE_FROM else "right" if x > CENTRE_TO else ""
    if down and across:
        return f"{down} {across}"
    if across:
        return f"{across} of centre"
    return f"{down} centre".strip()
