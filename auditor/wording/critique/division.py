"""How the frame is divided: what stays empty, and what else lies in it."""

from __future__ import annotations

from auditor.record.picture_record import ElementRecord, MeasuredPictureRecord
from auditor.wording.critique.amounts import place_phrase, rough_share, share_in_words
from auditor.wording.critique.empty_ground import is_patterned, is_surely_patterned
from auditor.wording.critique.noun import LARGE, has_subject, noun, sure, whole_share
from auditor.wording.critique.planned import named_thing
from auditor.wording.critique.statement import Statement, figures_of, sentence_of
from auditor.wording.critique.subject import is_full
from auditor.wording.numbers import percent
from auditor.wording.texts import listed

# Shares of the frame (our choice after looking at pictures, no source).
NO_EMPTINESS, LEAST_EMPTINESS = 0.1, 0.15
CALM_SHARE = 0.3
LEAST_FREE = 0.2  # of a side, from which empty space lies on the other one alone
LARGE_SHARE, SURE_LARGE, SURE_SHARE = 0.35, 0.6, 0.66
"""Confidence (within 5 hundredths) from which a share is named and its sides, of a large share and
of any; below it every third was wrong on the pictures looked at, and a share without its sides
tells nothing."""
LEAST_ELEMENT = 0.02  # smaller things are crumbs, or corners of something outside the frame
SURE_ELEMENT = 0.6
SURE_UNNAMED, LEAST_UNNAMED = 0.8, 2
"""Confidence from which a thing that no plan names is spoken of, and how many there must be: one
such thing tells nothing (our choice, no source)."""
SEVERAL = 3
# Part of all things on one side of the middle, from which they lie there.
MOSTLY = 0.7
SIDES = {
    "left": "on the left",
    "right": "on the right",
    "top": "at the top",
    "bottom": "at the bottom",
}


def division_statement(picture: MeasuredPictureRecord) -> Statement | None:
    """Say how much of the frame stays empty and where, and what else lies in it."""
    space = picture.negative_space
    if space.fraction is None or is_full(picture):
        return None
    things = _told(picture)
    emptiness, company = _emptiness(picture), _company(picture, things)
    if not emptiness and not company:
        return None
    figures = figures_of(
        [
            f"{percent(space.fraction)} of the frame empty",
            f"{percent(space.plain_fraction)} without patterned ground"
            if is_surely_patterned(picture) and space.plain_fraction is not None
            else "",
            *(_thing_figures(things)),
            sure(space.confidence),
        ]
        if emptiness
        else _thing_figures(things)
    )
    return Statement(sentence_of("; ".join(filter(None, [emptiness, company]))), figures)


def side_things(picture: MeasuredPictureRecord) -> list[ElementRecord]:
    """Supporting elements that are large and sure enough to be spoken of."""
    if not has_subject(picture):
        return []
    return [
        one
        for one in picture.elements
        if one.area_fraction >= LEAST_ELEMENT and (one.confidence or 0.0) >= SURE_ELEMENT
    ]


def _emptiness(picture: MeasuredPictureRecord) -> str:
    space = picture.negative_space
    share, confidence = space.fraction or 0.0, space.confidence or 0.0
    if NO_EMPTINESS <= share < LEAST_EMPTINESS:
        return ""
    if share < NO_EMPTINESS:
        is_said = whole_share(picture) >= LARGE  # among what is said of the subject
        return "" if is_said or confidence < SURE_LARGE else "what is shown fills the frame"
    if is_patterned(picture):
        if not is_surely_patterned(picture):
            return ""
        return f"{rough_share(share)} of the frame is ground with a pattern"
    if confidence < (SURE_LARGE if share >= LARGE_SHARE else SURE_SHARE):
        return ""
    return f"{share_in_words(share)} of the frame stays empty{_where(picture)}"


def _where(picture: MeasuredPictureRecord) -> str:
    sides = picture.negative_space.sides
    if "around" in sides:
        if not has_subject(picture) or picture.elements:
            return ""
        calm = (picture.negative_space.plain_fraction or 0.0) >= CALM_SHARE
        if calm:
            return f", all around {noun(picture)}, which leaves the eye with it"
        return f", all around {noun(picture)}"
    named = [SIDES[side] for side in sides if side in SIDES and _is_one_sided(picture, side)]
    return f", mostly {listed(named)}" if named else ""


def _is_one_sided(picture: MeasuredPictureRecord, side: str) -> bool:
    """Whether the largest empty region ends well before the opposite side of the frame."""
    region = picture.negative_space.largest_region
    if region is None:
        return False
    left, top, right, bottom = region.bbox
    free = {"left": 1 - right, "right": left, "top": 1 - bottom, "bottom": top}
    return free[side] >= LEAST_FREE


def _told(picture: MeasuredPictureRecord) -> list[ElementRecord]:
    """The things that are spoken of: those with a planned name, and several sure ones without."""
    names = _planned_names(picture)
    things = side_things(picture)
    unnamed = [
        one
        for one in things
        if picture.elements.index(one) not in names and (one.confidence or 0.0) >= SURE_UNNAMED
    ]
    if len(unnamed) < LEAST_UNNAMED:
        unnamed = []
    return [one for one in things if picture.elements.index(one) in names or one in unnamed]


def _company(picture: MeasuredPictureRecord, things: list[ElementRecord]) -> str:
    """The other things with their places, by the names that a plan gives them."""
    if not things:
        return ""
    names = _planned_names(picture)
    unnamed = [one for one in things if picture.elements.index(one) not in names]
    if len(unnamed) >= SEVERAL and not names:
        side = _common_side(unnamed)
        return f"several other things lie {side or f'around {noun(picture)}'}"
    by_name: dict[str, list[str]] = {}
    for one in things:
        if one not in unnamed:
            places = by_name.setdefault(names[picture.elements.index(one)], [])
            places.append(place_phrase(*one.centroid))
    parts = [f"{name} {_places(places)}" for name, places in by_name.items()][:SEVERAL]
    if unnamed:
        count = "two" if len(unnamed) == LEAST_UNNAMED else "several"
        places = [place_phrase(*one.centroid) for one in unnamed]
        parts.append(f"{count} other things, {_places(places)}")
    return f"also in the frame: {listed(parts)}"


def _places(places: list[str]) -> str:
    return listed(list(dict.fromkeys(places)))


def _planned_names(picture: MeasuredPictureRecord) -> dict[int, str]:
    """The planned names of elements, by their index in the record."""
    items = [] if picture.plan is None else picture.plan.items
    return {
        item.match.element: named_thing(item)
        for item in items
        if item.quantity == "supporting"
        and item.verdict in {"met", "close"}
        and item.match is not None
        and item.match.element is not None
    }


def _common_side(things: list[ElementRecord]) -> str:
    """The half of the frame in which most of several things lie; empty where there is none."""
    halves = {
        "mostly on the left": [one.centroid[0] < 1 / 2 for one in things],
        "mostly on the right": [one.centroid[0] > 1 / 2 for one in things],
        "mostly at the top": [one.centroid[1] < 1 / 2 for one in things],
        "mostly at the bottom": [one.centroid[1] > 1 / 2 for one in things],
    }
    shares = {words: sum(inside) / len(things) for words, inside in halves.items()}
    best = max(shares, key=lambda words: shares[words])
    return best if shares[best] > MOSTLY else ""


def _thing_figures(things: list[ElementRecord]) -> list[str]:
    if not things:
        return []
    areas = listed([percent(one.area_fraction) for one in things])
    return [f"other things: {areas} of the frame"]
