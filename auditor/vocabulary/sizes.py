"""Words for the size of a subject or an element, as shares of the frame.

On 40 finished pictures of dishes by many hands the subject took 0.27, 0.34 and 0.46 of the frame at
the quartiles, and at least 0.2 in nine of ten: the words divide that range (our choice, no other
source).
"""

from __future__ import annotations

from dataclasses import dataclass

from auditor.accepted import Accepted
from auditor.vocabulary.listed import Listed, by_form, shares_text, without
from auditor.vocabulary.shares import share_of_words


@dataclass(frozen=True, slots=True)
class Size:
    """A size in words, as shares of the frame."""

    words: str
    nominal: float
    least: float
    most: float
    also: tuple[str, ...] = ()

    @property
    def accepted(self) -> Accepted:
        """What it means in a plan."""
        return Accepted(self.nominal, ((self.least, self.most),), self.words)


SIZES = (
    Size("tiny", 0.03, 0.0, 0.06, ("very small",)),
    Size("small", 0.1, 0.03, 0.18, ("little",)),
    Size("medium", 0.25, 0.15, 0.35, ("medium sized", "normal")),
    Size("large", 0.4, 0.3, 0.7, ("big", "huge", "dominant", "close")),
    Size(
        "filling the frame",
        0.7,
        0.5,
        1.0,
        (
            "fill the frame",
            "fills the frame",
            "frame filling",
            "full frame",
            "very large",
            "close up",
            "tight",
        ),
    ),
)
_FILLERS = frozenset({"in", "size", "sized", "the", "frame", "a"})
_SIZES = {without(form, _FILLERS): size for form, size in by_form(SIZES).items()}


def size_of_words(text: str) -> Accepted | None:
    """Read a size in words or as a share of the frame; None where unknown."""
    size = _SIZES.get(without(text, _FILLERS))
    if size is not None:
        return size.accepted
    share = share_of_words(text)
    return None if share is None or share.nominal <= 0 else share


def listed_sizes() -> tuple[Listed, ...]:
    """The sizes for the list of words."""
    return tuple(Listed(one.words, shares_text(one.least, one.most), one.also) for one in SIZES)
