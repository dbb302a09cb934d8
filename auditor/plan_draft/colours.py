"""The colours that a draft states, each with the name of a colour beside it."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from functools import cache

import numpy as np
from numpy.typing import NDArray
from skimage.color import deltaE_ciede2000

from auditor.accepted import AcceptedColour
from auditor.colorimetry import (
    Swatch,
    colour_difference,
    lab_from_hex,
    nearest_named_colour,
)
from auditor.plan_draft.draft import Entry
from auditor.quantity import Quantity
from auditor.vocabulary.colour_table import FAMILIES, REGIONS

# Share of the frame from which on a colour is one of its main colours; that of a strong colour may
# be smaller, as food often is the only one in the frame (our choice, no source).
MAIN_SHARE, STRONG_SHARE = 0.08, 0.025
# Chroma C*ab from which on a colour is strong: wood has about 25, an orange 70 (from memory).
STRONG_CHROMA = 30.0
# CIEDE2000 below which two colours are one to a person who plans: the tolerance of a palette.
SAME_COLOUR = 12.0
# Families say too little of a single colour.
_OF_FAMILIES = frozenset(one.words for one in FAMILIES)
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
        key, [one.hex for one in swatches], ", ".join(colour_name(one.hex) for one in swatches)
    )


@cache
def colour_name(hex_colour: str) -> str:
    """What a photographer would call a colour; the nearest name of CSS where no such name fits."""
    regions, middles = _named_middles()
    lab = lab_from_hex(hex_colour)
    differences = deltaE_ciede2000(np.array([lab]), middles)
    best = int(np.argmin(differences))
    if differences[best] <= SAME_COLOUR:
        return regions[best].words
    return nearest_named_colour(lab).name


@cache
def _named_middles() -> tuple[tuple[AcceptedColour, ...], NDArray[np.float64]]:
    """Each middle of the colours that a plan knows by name: its region, and its CIELAB values."""
    accepted = [one.accepted(one.words) for one in REGIONS if one.words not in _OF_FAMILIES]
    pairs = [(one, middle) for one in accepted for middle in (one.hex, *one.more)]
    return tuple(one for one, _ in pairs), np.array([lab_from_hex(middle) for _, middle in pairs])


def is_strong(swatch: Swatch) -> bool:
    """Whether it is a colour rather than a grey, a beige or a brown."""
    return math.hypot(swatch.lab[1], swatch.lab[2]) >= STRONG_CHROMA


def is_among(swatch: Swatch, others: Sequence[Swatch]) -> bool:
    """Whether one of the others is the same colour to a person who plans."""
    return any(colour_difference(swatch.lab, one.lab) < SAME_COLOUR for one in others)
