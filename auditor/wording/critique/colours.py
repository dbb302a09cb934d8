"""Which colours cover the frame, which smaller ones one sees beside them, and whether they clash.

Everything is said by area: the two or three largest families of colours first, neutrals among
them, then the stronger ones that are small.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Sequence

from auditor.record.picture_record import MeasuredPictureRecord
from auditor.wording.colour_names import chroma
from auditor.wording.critique.families import Family, families
from auditor.wording.critique.hues import hues_apart_deg
from auditor.wording.critique.statement import Statement, figures_of, sentence_of
from auditor.wording.numbers import decimal, percent
from auditor.wording.texts import listed

# Of the frame, where nothing else is said (our choice after looking at pictures, no source).
LEAST_MAIN, MOST_MAIN = 0.15, 3  # how much a main colour covers, and how many are named
ENOUGH = 0.82  # of what is named together, no further one is needed
MOST_OF_IT = 0.6
ALMOST_ALL = 0.92
LEAST_SMALL, MOST_OF_SMALL, MOST_SMALL = 0.04, 0.15, 2
SMALL_CHROMA, COOL_CHROMA, ABOVE_REST = 20.0, 12.0, 10.0
"""CIELAB C*: what a smaller colour has at least, and by how much it lies above the mean of the rest
(our choice, no source)."""
LEAST_TRACE = 0.02  # too little to be named, too much for "throughout" (our choice, no source)
LEAST_WHITE = 0.08  # of the frame: white plates and cloths are always seen (our choice, no source)
WHITES = frozenset(["white", "off-white"])
OWN_HUE_DEG, OWN_CHROMA = 25.0, 18.0
"""A smaller colour is one of its own if it differs so much from all named ones in hue or chroma."""
THROUGHOUT = 0.9  # in warm colours that are no greys
CONTRAST_SHARE, CONTRAST_CHROMA, CONTRAST_DEG = 0.06, 20.0, 115.0
GREY_WEIGHT = 200.0  # of chroma: how little a colour goes before a grey
PALE_MEAN, STRONG_HIGH = 9.0, 58.0
"""CIELAB C*: a mean below the first looks nearly grey; a tenth of the frame above the second looks
strongly coloured."""


def colours_statement(picture: MeasuredPictureRecord) -> Statement | None:
    """Say which colours cover the frame and which are seen beside them."""
    found = families(picture.palette)
    if not found:
        return None
    main = _main(found)
    if not main:
        return None
    smaller = _smaller(picture, found, main)
    words = _areas(picture, found, main, smaller)
    words += _smaller_words(smaller)
    words += _contrast(main, smaller)
    saturation = picture.saturation
    if saturation is not None and saturation.high_chroma >= STRONG_HIGH:
        words += "; the colours are strong"
    return Statement(sentence_of(words), _figures(picture, found))


def _figures(picture: MeasuredPictureRecord, found: Sequence[Family]) -> str:
    shares = listed([f"{one.name} {percent(one.share)}" for one in found])
    saturation = picture.saturation
    strength = "" if saturation is None else f"mean chroma {decimal(saturation.mean_chroma, 0)} C*"
    return figures_of([shares, strength])


def _main(found: Sequence[Family]) -> list[Family]:
    """The largest families, until they cover enough of the frame; a colour before a grey.

    A grey or white that is the second largest by area alone is always among them.
    """
    main: list[Family] = []
    large = [one for one in found if one.share >= LEAST_MAIN]
    for one in sorted(large, key=lambda each: -each.share * _weight(each))[:MOST_MAIN]:
        if main and sum(each.share for each in main) >= ENOUGH:
            break
        main.append(one)
    second = large[1] if len(large) > 1 else None
    if second is None or second in main or second.part != "neutral":
        return main
    if len(main) == MOST_MAIN:
        main.remove(min(main, key=lambda each: each.share))
    return [*main, second]


def _weight(one: Family) -> float:
    """One sees a colour before a grey of about the same size."""
    return 1.0 if one.part == "neutral" else 1.0 + min(chroma(one.lab), STRONG_HIGH) / GREY_WEIGHT


def _smaller(
    picture: MeasuredPictureRecord, found: Sequence[Family], main: Sequence[Family]
) -> list[Family]:
    """Colours that cover little and are seen."""
    named = [one for one in main if one.part != "neutral"]
    white = [one for one in found if one.name in WHITES and one not in main]
    smaller: list[Family] = [one for one in white if one.share >= LEAST_WHITE][:1]
    for one in sorted(
        _all_seen(picture, found), key=lambda each: -math.sqrt(each.share) * chroma(each.lab)
    ):
        is_new = one not in main and all(_differ(one, other) for other in [*named, *smaller])
        if (
            is_new
            and _is_seen(one, in_frame=one in found, among_greys=not named)
            and chroma(one.lab) >= _rest_chroma(one, found) + ABOVE_REST
        ):
            smaller.append(one)
    return smaller[:MOST_SMALL]


def _all_seen(picture: MeasuredPictureRecord, found: Sequence[Family]) -> list[Family]:
    """The families of the frame, with those of the finer palettes of subject and ground."""
    seen = list(found)
    for palette in (picture.subject_palette, picture.ground_palette):
        names = {one.name for one in seen}
        seen += [one for one in families(palette) if one.name not in names]
    return seen


def _rest_chroma(one: Family, found: Sequence[Family]) -> float:
    """The mean chroma of the frame's other families."""
    rest = [other for other in found if other.name != one.name]
    share = sum(other.share for other in rest)
    return sum(chroma(other.lab) * other.share for other in rest) / share if share else 0.0


def _is_seen(one: Family, *, in_frame: bool, among_greys: bool) -> bool:
    """Whether a small colour is strong enough; browns are seen as colours only among greys."""
    least = COOL_CHROMA if one.part == "cool" and in_frame else SMALL_CHROMA
    is_plain = "brown" in one.name or one.name == "beige"
    return (
        one.part != "neutral"
        and LEAST_SMALL <= one.share <= MOST_OF_SMALL
        and chroma(one.lab) >= least
        and (among_greys or not is_plain)
    )


def _differ(one: Family, other: Family) -> bool:
    if one.name == other.name:
        return False
    apart = hues_apart_deg(one.lab, other.lab) >= OWN_HUE_DEG or one.part != other.part
    return apart or chroma(one.lab) - chroma(other.lab) >= OWN_CHROMA


def _areas(
    picture: MeasuredPictureRecord,
    found: Sequence[Family],
    main: Sequence[Family],
    smaller: Sequence[Family],
) -> str:
    names = listed([one.name for one in main])
    if all(one.part == "neutral" for one in smaller) and _is_pale(picture, found):
        return f"hardly any colour: mostly {names}"
    warm = [one for one in [*found, *smaller] if one.part == "warm"]
    seen = [*smaller, *_traces(picture, found)]
    all_warm = all(one.part in {"warm", "neutral"} for one in seen)
    if all_warm and sum(one.share for one in found if one in warm) >= THROUGHOUT:
        return f"warm colours throughout, mostly {names}"
    covered = sum(one.share for one in main)
    if covered >= ALMOST_ALL:
        return f"almost the whole frame is {names}"
    if covered >= MOST_OF_IT:
        return f"most of the frame is {names}"
    verb = "area is" if len(main) == 1 else "areas are"
    return f"the largest {verb} {names}"


def _is_pale(picture: MeasuredPictureRecord, found: Sequence[Family]) -> bool:
    saturation = picture.saturation
    coloured = sum(one.share for one in found if one.part != "neutral")
    if saturation is None or _traces(picture, found):
        return False
    return saturation.mean_chroma < PALE_MEAN and coloured < LEAST_MAIN


def _traces(picture: MeasuredPictureRecord, found: Sequence[Family]) -> list[Family]:
    """Strong colours, also those that cover too little to be named."""
    return [
        one
        for one in _all_seen(picture, found)
        if one.part != "neutral" and one.share >= LEAST_TRACE and chroma(one.lab) >= SMALL_CHROMA
    ]


def _smaller_words(smaller: Sequence[Family]) -> str:
    if not smaller:
        return ""
    names = listed([one.name for one in smaller])
    part = "a smaller part is" if len(smaller) == 1 else "smaller parts are"
    return f"; {part} {names}"


def _contrast(main: Sequence[Family], smaller: Sequence[Family]) -> str:
    """Two of the named colours that lie opposite each other on the hue circle."""
    named = [*main, *smaller]
    strong = [
        one
        for one in named
        if one.part != "neutral"
        and "brown" not in one.name
        and one.share >= CONTRAST_SHARE
        and chroma(one.lab) >= CONTRAST_CHROMA
    ]
    pairs = [
        (first, second)
        for first, second in itertools.combinations(strong, 2)
        if hues_apart_deg(first.lab, second.lab) >= CONTRAST_DEG
    ]
    if not pairs:
        return ""
    first, second = max(pairs, key=lambda two: sum(chroma(one.lab) for one in two))
    return f"; {first.name} against {second.name} is a contrast of hues"
