"""What a plan accepts for one quantity: a value, a range, or several of them."""

from __future__ import annotations

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
    """

    hex: str
    radius: float = 0.0
    words: str = ""


def _beyond(span: Span, value: float) -> float:
    least, most = span
    return value - most if value > most else min(0.0, value - least)
