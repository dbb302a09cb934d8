"""What is said of planned colours that were missed: words first, then the number."""

from __future__ import annotations

from auditor.record.picture_record import ItemRecord
from auditor.wording.colour_differences import (
    colour_name,
    difference_words,
    exposure_explains,
    nearest,
)
from auditor.wording.names import in_sentence
from auditor.wording.numbers import listed
from auditor.wording.values import colours_of, difference_text

GROUNDS = ("background", "surface")


def palette_sentence(item: ItemRecord) -> str:
    """Name the planned colour that is missed most, and what is nearest to it; empty without."""
    planned, measured = colours_of(item.planned), colours_of(item.measured)
    if not planned or not measured:
        return ""
    worst = max(nearest(planned, measured), key=lambda pair: pair.difference)
    missing = f"The planned {colour_name(worst.planned)} {worst.planned} is hardly to be found"
    words = listed(difference_words(worst.planned, worst.measured))
    found = ", ".join(part for part in (worst.measured, words) if part)
    return f"{missing}; nearest is {found} ({difference_text(item)})."


def ground_sentence(item: ItemRecord) -> str:
    """Say how background or surface differs from the nearest planned colour; empty without."""
    colours = _ground_colours(item)
    words = difference_words(*colours) if colours else []
    if colours is None or not words:
        return ""
    named = f"The {in_sentence(item.quantity)} is {listed(words)} than planned"
    return f"{named}: {colours[1]}, {colours[0]} planned ({difference_text(item)})."


def explained_by_exposure(item: ItemRecord, exposure_ev: float) -> bool:
    """Whether a ground misses its colour because the picture is lighter or darker than the set.

    `exposure_ev` is how much lighter it is than the set.
    """
    colours = _ground_colours(item) if item.quantity in GROUNDS else None
    if colours is None or item.tolerance is None:
        return False
    return exposure_explains(*colours, exposure_ev, item.tolerance)


def _ground_colours(item: ItemRecord) -> tuple[str, str] | None:
    """The planned colour that is nearest to the measured one, and the measured one."""
    planned, measured = colours_of(item.planned), colours_of(item.measured)
    if not planned or not measured:
        return None
    best = min(nearest(planned, measured), key=lambda pair: pair.difference)
    return best.planned, best.measured
