"""How one colour differs from another, in words."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from auditor.colorimetry import Component, colour_difference, difference_components, lab_from_hex

LEAST_SHARE_OF_LARGEST = 0.5  # a smaller component would not be what one sees
# For each component the words where the second colour has more of it, and where it has less.
WORDS: dict[Component, tuple[str, str]] = {
    "lightness": ("lighter", "darker"),
    "chroma": ("more colourful", "less colourful"),
    "warmth": ("warmer", "cooler"),
    "redness": ("redder", "greener"),
}


@dataclass(frozen=True, slots=True)
class Nearest:
    """A planned colour, the measured colour nearest to it, and how far they are apart."""

    planned: str
    measured: str
    difference: float


def nearest(planned: Sequence[str], measured: Sequence[str]) -> list[Nearest]:
    """Give each planned colour (``#rrggbb``) the nearest measured one; `measured` not empty."""
    labs = {colour: lab_from_hex(colour) for colour in measured}
    found = []
    for colour in planned:
        lab = lab_from_hex(colour)
        apart = {other: colour_difference(lab, other_lab) for other, other_lab in labs.items()}
        best = min(apart, key=lambda other: apart[other])
        found.append(Nearest(colour, best, apart[best]))
    return found


def difference_words(planned: str, measured: str) -> list[str]:
    """Say how a colour differs from the planned one, the largest component first."""
    sizes = difference_components(lab_from_hex(planned), lab_from_hex(measured))
    largest = max(abs(size) for size in sizes.values())
    if largest == 0:
        return []
    kept = [name for name, size in sizes.items() if abs(size) >= LEAST_SHARE_OF_LARGEST * largest]
    kept.sort(key=lambda name: -abs(sizes[name]))
    return [WORDS[name][0 if sizes[name] > 0 else 1] for name in kept]
