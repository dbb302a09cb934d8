"""What the shots of a draft share: it is stated once, under ``[series]``.

A value goes there if most shots meet it and none contradicts it without a value of its own. A shot
then states only what differs. Subject, elements and empty space are each picture's own.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from statistics import median

from auditor.colorimetry import Swatch, colour_difference, lab_from_hex
from auditor.plan_draft.colours import colours_entry, is_among, is_strong, main_colours
from auditor.plan_draft.draft import Entry, ShotDraft
from auditor.plan_draft.from_picture import KEYS, entry_of, temperature_entry
from auditor.plan_draft.proof import SeenPicture

LEAST_SHOTS = 2  # one shot shares nothing
# Share of the shots that must meet what the series states (our choice, no source): of the others
# it is unknown whether they do, or they state their own.
LEAST_SHARE_OF_SHOTS = 0.75
# In the order of the file.
SHARED_KEYS = (
    "aspect_ratio",
    "camera_elevation",
    "light",
    "colour_temperature",
    "palette",
    "background",
    "surface",
)
# Confidence from which on a picture states what sets it apart: more likely right than wrong.
LEAST_CONFIDENCE_OF_OTHER = 0.5
MOST_TRIED = 12  # values of a key, the most frequent ones: a large set need not wait for rare ones
MOST_SHARED_COLOURS = 3  # what a set has in common is its ground, in light and in shade


@dataclass(frozen=True, slots=True)
class Shared:
    """The entries of ``[series]`` and the shots without what stands there."""

    series: tuple[Entry, ...]
    shots: tuple[ShotDraft, ...]


def share_entries(shots: Sequence[ShotDraft], pictures: Sequence[SeenPicture]) -> Shared:
    """Move what the shots share to the series.

    Parameters
    ----------
    shots : sequence of ShotDraft
    pictures : sequence of SeenPicture
        The picture of each shot.
    """
    series, left = [], list(shots)
    if len(shots) < LEAST_SHOTS:
        return Shared((), tuple(shots))
    for key in SHARED_KEYS:
        move = _share_palette if key == "palette" else _share_value
        shared, left = move(key, left, pictures)
        series += shared
    return Shared(tuple(series), tuple(left))


_Moved = tuple[list[Entry], list[ShotDraft]]


def _share_value(key: str, shots: Sequence[ShotDraft], pictures: Sequence[SeenPicture]) -> _Moved:
    stated = [entry for shot in shots if (entry := shot.entry(key)) is not None]
    best: Entry | None = None
    met: list[bool] = []
    for value in _values(key, stated):
        met_by = [picture.meets(value) for picture in pictures]
        if sum(met_by) > sum(met):
            best, met = value, met_by
    if best is None or sum(met) < LEAST_SHARE_OF_SHOTS * len(shots):
        return [], list(shots)
    left = [
        _without(shot, key) if is_met else _with_own(shot, key, best, picture)
        for shot, picture, is_met in zip(shots, pictures, met, strict=True)
    ]
    kept = [shot for shot in left if shot is not None]
    return ([best], kept) if len(kept) == len(shots) else ([], list(shots))


def _with_own(shot: ShotDraft, key: str, shared: Entry, picture: SeenPicture) -> ShotDraft | None:
    """A shot that does not meet what the others share; None where it contradicts that in vain.

    What contradicts the others need not be as sure as what stands alone.
    """
    if shot.entry(key) is not None or picture.may_meet(shared):
        return shot
    own = entry_of(key, replace(picture, least_confidence=LEAST_CONFIDENCE_OF_OTHER))
    if own is None:
        return None
    entries = sorted((*shot.entries, own), key=lambda entry: KEYS.index(entry.key))
    return replace(shot, entries=tuple(entries))


def _values(key: str, stated: Sequence[Entry]) -> list[Entry]:
    """The values that may hold for all, the most frequent first and then the middle ones."""
    plain = [str(entry.plain) for entry in stated]
    often = sorted(
        (entry for n, entry in enumerate(stated) if plain.index(str(entry.plain)) == n),
        key=lambda entry: -plain.count(str(entry.plain)),
    )
    middle = _MIDDLE[key](stated) if key in _MIDDLE and stated else []
    return [*middle, *often[:MOST_TRIED]]


def _middle_temperature(stated: Sequence[Entry]) -> list[Entry]:
    mired = []
    for entry in stated:
        match entry.plain:
            case {"kelvin": int() | float() as kelvin}:
                mired.append(1e6 / kelvin)
    return [temperature_entry(median(mired))]


def _middle_colour(stated: Sequence[Entry]) -> list[Entry]:
    """The colour that is nearest to the median in each of lightness, a* and b*."""
    labs = []
    for entry in stated:
        match entry.plain:
            case [str() as colour, *_]:
                labs.append(lab_from_hex(colour))
    middle = (
        median(lab[0] for lab in labs),
        median(lab[1] for lab in labs),
        median(lab[2] for lab in labs),
    )
    off = [colour_difference(lab, middle) for lab in labs]
    return [stated[off.index(min(off))]]


_MIDDLE: dict[str, Callable[[Sequence[Entry]], list[Entry]]] = {
    "colour_temperature": _middle_temperature,
    "background": _middle_colour,
    "surface": _middle_colour,
}


def _share_palette(key: str, shots: Sequence[ShotDraft], pictures: Sequence[SeenPicture]) -> _Moved:
    """The main colours of every picture; a shot with a strong colour of its own states all."""
    each = [main_colours(picture.measured.palette) for picture in pictures]
    shared: list[Swatch] = []
    for swatch in sorted((one for colours in each for one in colours), key=lambda one: -one.share):
        is_new = not is_among(swatch, shared) and len(shared) < MOST_SHARED_COLOURS
        if is_new and all(is_among(swatch, colours) for colours in each):
            shared.append(swatch)
    entry = colours_entry(key, shared)
    if not shared or not all(picture.meets(entry) for picture in pictures):
        return [], list(shots)
    moved = []
    for shot, colours in zip(shots, each, strict=True):
        own = [one for one in colours if is_strong(one) and not is_among(one, shared)]
        moved.append(
            _with(shot, colours_entry(key, [*shared, *own])) if own else _without(shot, key)
        )
    return [entry], moved


def _with(shot: ShotDraft, entry: Entry) -> ShotDraft:
    """The shot with another value of a key that it states."""
    return replace(
        shot, entries=tuple(entry if one.key == entry.key else one for one in shot.entries)
    )


def _without(shot: ShotDraft, key: str) -> ShotDraft:
    return replace(shot, entries=tuple(one for one in shot.entries if one.key != key))


def share_equal(shots: Sequence[ShotDraft]) -> Shared:
    """Move to the series what all shots state alike, as sure as the least sure of them."""
    series: list[Entry] = []
    left = list(shots)
    for key in SHARED_KEYS if len(shots) >= LEAST_SHOTS else ():
        own = [entry for shot in shots if (entry := shot.entry(key)) is not None]
        is_shared = len(own) == len(shots) and all(one.plain == own[0].plain for one in own)
        if is_shared and all(one.is_stated for one in own):
            series.append(min(own, key=lambda entry: entry.confidence))
            left = [_without(shot, key) for shot in left]
    return Shared(tuple(series), tuple(left))
