"""Colours as patches whose size is their share."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from auditor.record.colour_records import (
    SwatchRecord,
)

BAR_LENGTH = 100.0  # units of the drawing, which the page stretches


@dataclass(frozen=True, slots=True)
class Patch:
    """Part of a bar: where it starts, how long it is, its colour."""

    start: str
    length: str
    hex: str


def palette_bar(palette: Sequence[SwatchRecord]) -> tuple[Patch, ...]:
    """Lay the colours of a palette end to end, from dark to light.

    Ordered by lightness, not by share, so that the bars of a set can be compared at a glance.
    """
    total = sum(swatch.share for swatch in palette)
    if total <= 0:
        return ()
    patches = []
    start = 0.0
    for swatch in sorted(palette, key=lambda swatch: swatch.lab[0]):
        length = swatch.share / total * BAR_LENGTH
        patches.append(Patch(f"{start:.2f}", f"{length:.2f}", swatch.hex))
        start += length
    return tuple(patches)
