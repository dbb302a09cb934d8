"""The colours that a draft states, each with the name of a colour beside it."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

from auditor.colorimetry import Swatch, colour_difference
from auditor.plan_draft.draft import Entry
from auditor.quantity import Quantity
from auditor.wording.plan_colour_names import plan_colour_name

# Share of the frame from which on a colour is one of its main colours; that of a strong colour may
# be smaller, as food often is the only one in the frame (our choice, no source).
MAIN_SHARE, STRONG_SHARE = 0.08, 0.025
# Chroma C*ab from which on a colour is strong: wood has about 25, an orange 70 (from memory).
STRONG_CHROMA = 30.0
# CIEDE2000 below which two colours are one to a person who plans: the tolerance of a palette.
SAME_COLOUR = 12.0
MOST_COLOURS = 4  # as many as a person plans (our choice, no source)


def palette_entry(palette: Sequence[Swatch]) -> Iterator[Entry]:
    """The main colours, largest first."""
    chosen = main_colours(palette)
    if chosen:
        yield colours_entry("palette", chosen)


def main_colours(palette: Sequence[Swatch]) -> list[Swatch]:
    """The main colours of a picture that are not alike, largest first."""
    chosen: list[Swatch] = []
    for swatch in sorted(palette, key=lambda one: -one.share):
        least = STRONG_SHARE if is_strong(swatch) else MAIN_SHARE
        if swatch.share >= least and not is_among(swatch, chosen):
            chosen.append(swatch)
    return chosen[:MOST_COLOURS]


def ground_entries(key: str, found: Quantity[Swatch]) -> Iterator[Entry]:
    """The colour of background or surface."""
    if found.value is not None:
        yield colours_entry(key, [found.value])


def colours_entry(key: str, swatches: Sequence[Swatch]) -> Entry:
    """Colours in hex, their names as the comment."""
    return Entry(
        key, [one.hex for one in swatches], ", ".join(plan_colour_name(one.hex) for one in swatches)
    )


def is_strong(swatch: Swatch) -> bool:
    """Whether it is a colour rather than a grey, a beige or a brown."""
    return math.hypot(swatch.lab[1], swatch.lab[2]) >= STRONG_CHROMA


def is_among(swatch: Swatch, others: Sequence[Swatch]) -> bool:
    """Whether one of the others is the same colour to a person who plans."""
    return any(colour_difference(swatch.lab, one.lab) < SAME_COLOUR for one in others)
