"""What a plan accepts for one quantity: a value, a range, or several of them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

Span = tuple[float, float]


@dataclass(frozen=True, slots=True)
class Accepted:
    """The values of one quantity that are as planned.

    Attributes
    ----------
    nominal : float
        The value that stands for all in the record and in drawings.
    spans : tuple of (float, float)
        Least and most value of each range; a single value has both the same.
    words : str
        As the plan named it; empty for a number.
    """

    nominal: float
    spans: tuple[Span, ...]
    words: str = ""

    @classmethod
    def exactly(cls, value: float, words: str = "") -> Accepted:
        """A single value."""
        return cls(value, ((value, value),), words)

    @classmethod
    def any_of(cls, parts: Sequence[Accepted]) -> Accepted:
        """What several accept together; the first stands for all.

        It is named if all are: ``"left or back left"``.
        """
        if len(parts) == 1:
            return parts[0]
        spans = tuple(dict.fromkeys(span for part in parts for span in part.spans))
        names = [part.words for part in parts]
        return cls(parts[0].nominal, spans, " or ".join(names) if all(names) else "")

    @classmethod
    def from_to(cls, first: Accepted, last: Accepted) -> Accepted:
        """All from one range to another, what lies between them included."""
        ends = [end for span in (*first.spans, *last.spans) for end in span]
        least, most = min(ends), max(ends)
        words = f"{first.words} to {last.words}" if first.words and last.words else ""
        return cls((least + most) / 2, ((least, most),), words)

    @property
    def is_value(self) -> bool:
        """Whether it is one value without a range."""
        return self.spans == ((self.nominal, self.nominal),)

    def beyond(self, value: float) -> float:
        """How far a value lies outside the nearest range.

        Positive above it, negative below, 0 inside.
        """
        return min((_beyond(span, value) for span in self.spans), key=abs)

    def nearest(self, value: float) -> float:
        """The accepted value that is nearest to another."""
        return value - self.beyond(value)

    def beyond_round(self, value: float, period: float) -> float:
        """The same for a direction that repeats after `period`, the shorter way round.

        Half a period away is positive.
        """
        turned = (self.beyond(value + turns * period) for turns in (-1, 0, 1))
        return min(turned, key=lambda one: (abs(one), -one))


@dataclass(frozen=True, slots=True)
class AcceptedColour:
    """A planned colour: a value or a region of colours around it.

    Attributes
    ----------
    hex : str
        ``#rrggbb``; the middle of the region.
    radius : float
        CIEDE2000 from the middle up to which a colour is as planned.
    words : str
        As the plan named it; empty for a value.
    more : tuple of str
        Further middles, each with the same radius around it.
    """

    hex: str
    radius: float = 0.0
    words: str = ""
    more: tuple[str, ...] = ()


def _beyond(span: Span, value: float) -> float:
    least, most = span
    return value - most if value > most else min(0.0, value - least)
