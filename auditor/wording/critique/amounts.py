"""Shares of the frame, places and sides in words, as they stand in a sentence."""

from __future__ import annotations

from collections.abc import Sequence

from auditor.vocabulary.places import place_words
from auditor.vocabulary.shares import SHARE_WORDS
from auditor.wording.texts import listed

# Where a share is next to nothing or next to all (our choice, no source).
HARDLY_ANY, ALMOST_ALL = 0.06, 0.93
# Between a tenth and a sixth, and between half and two thirds, the eye cannot choose by a glance.
_LEFT_OUT = frozenset({"an eighth", "three fifths"})
_SHARES = {name: share for name, share in SHARE_WORDS.items() if name not in _LEFT_OUT}
_SHARES |= {"four fifths": 4 / 5, "nine tenths": 9 / 10}

TOUCHES = 0.004
"""Distance from the frame's edge, as a fraction of its side, below which something reaches it:
about one cell of the map that outlines come from."""

EDGES = ("left", "top", "right", "bottom")
_PLACES = {
    "centre": "in the middle",
    "upper centre": "in the middle at the top",
    "lower centre": "in the middle at the bottom",
    "left of centre": "left of the middle",
    "right of centre": "right of the middle",
}


def rough_share(fraction: float) -> str:
    """Write a fraction that is not exactly known: ``"about half"``, ``"less than half"``."""
    return next(words for end, words in _ROUGH if fraction <= end)


_ROUGH = (
    (0.25, "a small part"),
    (0.42, "less than half"),
    (0.58, "about half"),
    (1.0, "more than half"),
)


def share_in_words(fraction: float) -> str:
    """Write a fraction as the nearest one that has a name: ``"about a third"``.

    Parameters
    ----------
    fraction : float
        In [0, 1]; of the frame, of its width or of any other whole.
    """
    if fraction < HARDLY_ANY:
        return "a very small part"
    if fraction > ALMOST_ALL:
        return "almost all"
    return f"about {min(_SHARES, key=lambda name: abs(_SHARES[name] - fraction))}"


def place_phrase(x: float, y: float) -> str:
    """Say where in the frame a position lies, after a verb: ``"at the upper left"``."""
    words = place_words(x, y)
    return _PLACES.get(words, f"at the {words}")


def from_phrase(x: float, y: float) -> str:
    """Say from where something comes: ``"from the upper left"``; empty for the middle."""
    words = place_words(x, y)
    return "" if words == "centre" else f" from the {_DIRECTIONS.get(words, words)}"


_DIRECTIONS = {
    "upper centre": "top",
    "lower centre": "bottom",
    "left of centre": "left",
    "right of centre": "right",
}


def edges_reached(box: Sequence[float]) -> list[str]:
    """The edges of the frame that a box reaches; `box` is left, top, right, bottom in [0, 1]."""
    left, top, right, bottom = box
    apart = (left, top, 1 - right, 1 - bottom)
    return [edge for edge, by in zip(EDGES, apart, strict=True) if by <= TOUCHES]


def edges_surely_reached(box: Sequence[float]) -> list[str]:
    """The edges that a box reaches, without one whose opposite is nearly reached too.

    The outline of something about as wide as the frame is not exact enough to say at which side it
    ends.
    """
    left, top, right, bottom = box
    room = {"left": 1 - right, "right": left, "top": 1 - bottom, "bottom": top}
    return [edge for edge in edges_reached(box) if not TOUCHES < room[edge] < ALSO_NEAR]


ALSO_NEAR = 0.065  # of the side: about two cells of the map that outlines come from


def edges_phrase(edges: Sequence[str]) -> str:
    """Name edges of the frame: ``"the left and the bottom edge"``."""
    return f"{listed([f'the {edge}' for edge in edges])} edge"
