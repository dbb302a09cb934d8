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
behind (the subject)            above it        over the subject, as wide and half again
in front (of the subject)       below it        under the subject, as wide and half again
beside (next to the subject)    on its right    left and right of the subject, as high as it is
==============================  ==============  =============================================

A zone begins at the line of thirds and runs to the edge of the frame; where the technique is the
golden ratio, it begins at that line (1/phi = 0.618), and so does the position lie on it. Thirds are
what "upper right" means among photographers (common practice, no source). Order and hyphens do not
matter: "right, upper" is "upper-right". A centre may be added: "upper centre" is "top", "left of
centre" is "left". The last three are zones only with the subject's box; without a subject they are
the top, the bottom and the outer thirds.
"""

from __future__ import annotations

from auditor.geometry import GOLDEN_RATIO, Box, Point
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
    *(f"{side} edge" for side in ("left", "right", "top", "bottom")),
    *(f"{down} {across} corner" for down in ("upper", "lower") for across in ("left", "right")),
)
RELATION_WORDS = ("behind", "in front", "beside")

# The middle fifth of the frame is called the centre: the line of a third, at 0.33, is clearly off
# it, and so is that of the golden ratio, at 0.38 (common practice, no source).
CENTRE_FROM, CENTRE_TO = 0.4, 0.6
# Depth of the zone along an edge and side of that in a corner, of the frame's side. What lies at an
# edge is often cut off by it, and its visible part is small (our choice, no source).
EDGE_DEPTH, CORNER_SIDE = 1 / 8, 1 / 6

_NEAR_THIRD = 1 / 3
_NEAR_GOLDEN = 1 - 1 / GOLDEN_RATIO

# -1 is the near line (left, top), +1 the far line (right, bottom) of a pair.
_ACROSS = {"left": -1, "right": 1}
_DOWN = {"top": -1, "upper": -1, "bottom": 1, "lower": 1}
_CENTRE = frozenset({"centre", "center", "middle", "central"})
_PARTS = ("third", "edge", "corner")
_RELATIONS = {
    "behind": Relation.BEHIND,
    "in back": Relation.BEHIND,
    "in front": Relation.IN_FRONT,
    "before": Relation.IN_FRONT,
    "beside": Relation.BESIDE,
    "next to": Relation.BESIDE,
}
_SUBJECT = (" it", " the subject", " the dish", " subject", "")

_Interval = tuple[float, float]


def zone_of_place(text: str, technique: str | None) -> Zone | None:
    """Turn the words of a place into the zone that they mean under a technique.

    Returns
    -------
    Zone or None
        None where the words name no place.
    """
    phrase = plain_words(text)
    relation = _relation(phrase)
    if relation is not None:
        return Zone(relation.value, relation=relation)
    words = phrase.replace(" of the ", " ").replace(" of ", " ").split()
    part = words.pop() if words and words[-1] in _PARTS else ""
    across = [_ACROSS[word] for word in words if word in _ACROSS]
    down = [_DOWN[word] for word in words if word in _DOWN]
    n_known = len(across) + len(down) + sum(word in _CENTRE for word in words)
    if not words or n_known != len(words) or len(across) > 1 or len(down) > 1:
        return None
    near = _NEAR_GOLDEN if technique == "golden ratio" else _NEAR_THIRD
    return _zone(sum(across), sum(down), part, near, n_centre=n_known - len(across) - len(down))


def _relation(phrase: str) -> Relation | None:
    for words, relation in _RELATIONS.items():
        for subject in _SUBJECT:
            if phrase in {words + subject, f"{words} of{subject}"}:
                return relation
    return None


def _zone(across: int, down: int, part: str, near: float, n_centre: int) -> Zone | None:
    """The zone on a side or in a corner of the frame: -1 for the near one, +1 for the far one."""
    sides = (across != 0) + (down != 0)
    if part and (n_centre or sides != (2 if part == "corner" else 1)):
        return None
    words = _words(across, down)
    if not part:
        from_middle = 0.5 - near
        point = Point(0.5 + from_middle * across, 0.5 + from_middle * down)
        if not sides:
            return Zone(words, (Box(*point, *point),), point)
        left, right = _outer(across, near) if across else (near, 1 - near)
        top, bottom = _outer(down, near) if down else (near, 1 - near)
        return Zone(words, (Box(left, top, right, bottom),), point)
    depth = {"third": near, "edge": EDGE_DEPTH, "corner": CORNER_SIDE}[part]
    left, right = _outer(across, depth) if across else (0.0, 1.0)
    top, bottom = _outer(down, depth) if down else (0.0, 1.0)
    box = Box(left, top, right, bottom)
    return Zone(f"{words} {part}", (box,), box.centre)


def _outer(direction: int, depth: float) -> _Interval:
    return (0.0, depth) if direction < 0 else (1 - depth, 1.0)


def _words(across: int, down: int) -> str:
    names = {-1: "left", 1: "right"}
    if across and down:
        return f"{'upper' if down < 0 else 'lower'} {names[across]}"
    if across:
        return names[across]
    return {-1: "top", 0: "centre", 1: "bottom"}[down]


def place_words(x: float, y: float) -> str:
    """Name the part of the frame in which a position lies."""
    down = "upper" if y < CENTRE_FROM else "lower" if y > CENTRE_TO else ""
    across = "left" if x < CENTRE_FROM else "right" if x > CENTRE_TO else ""
    if down and across:
        return f"{down} {across}"
    if across:
        return f"{across} of centre"
    return f"{down} centre".strip()
