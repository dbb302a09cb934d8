"""The supporting elements that are surely in a picture, with names by their shape.

What a thing is cannot be measured. The names say what can: a rim makes a round thing, two long
edges a long thing. The photographer renames them.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from auditor.comparison.candidates import Candidate, candidates, contains
from auditor.geometry import Ellipse, diagonal_px
from auditor.measurements.measured_photograph import MeasuredPhotograph
from auditor.plan_draft import rounding
from auditor.plan_draft.draft import Entry, Remarked
from auditor.plan_draft.names import unique
from auditor.plan_draft.proof import SeenPicture
from auditor.vocabulary.places import place_words

# Probability from which on something found is taken for a thing that is there: at least twice as
# likely as not (our choice, no source).
LEAST_EXISTS = 0.65
# Times as long as wide: a spoon has 5 and more, a fish dish 2 (our choice, no source).
LONG_FROM = 3.0
# Share of the frame below which a thing is called small: a garnish, an egg (our choice, no source).
SMALL_BELOW = 0.01
# Share of the frame above which a thing is no supporting one (our choice, no source).
MOST_SHARE = 0.3
# More elements than a person would plan by hand (our choice, no source).
MOST_ELEMENTS = 4
# A rim is that of an element if it takes most of the element's box: at least this share of its
# longer side (our choice, no source).
RIM_SHARE = 0.6


def supporting_entry(picture: SeenPicture) -> Iterator[Entry]:
    """The elements that the picture meets together, the largest first; nothing without any.

    Without a sure subject nobody knows what supports what.
    """
    if not picture.is_sure(picture.measured.subject):
        return
    kept: list[Candidate] = []
    for one in candidates(picture.measured):
        is_thing = one.exists >= LEAST_EXISTS and (one.area_fraction or 0.0) <= MOST_SHARE
        if is_thing and picture.meets(_entry(picture.measured, [*kept, one])):
            kept.append(one)
    kept = kept[:MOST_ELEMENTS]
    if kept:
        yield _entry(picture.measured, kept)


def _entry(measured: MeasuredPhotograph, found: Sequence[Candidate]) -> Entry:
    names = unique([_name(one, measured) for one in found])
    return Entry(
        "supporting",
        [
            Remarked({"name": name, "at": rounding.place(one.place)}, place_words(*one.place))
            for name, one in zip(names, found, strict=True)
        ],
    )


def _name(one: Candidate, measured: MeasuredPhotograph) -> str:
    """A name by the shape alone."""
    if one.seen_as == "edges" or (one.elongation or 1.0) >= LONG_FROM:
        return "long thing"
    elevation = measured.camera_elevation.value
    rims = () if elevation is None else elevation.ellipses
    if any(_is_rim_of(rim, one, measured) for rim in rims):
        return "round thing"
    return "small thing" if (one.area_fraction or 0.0) < SMALL_BELOW else "thing"


def _is_rim_of(rim: Ellipse, one: Candidate, measured: MeasuredPhotograph) -> bool:
    left, top, right, bottom = one.box
    longest_px = max((right - left) * measured.width, (bottom - top) * measured.height)
    rim_px = 2 * rim.semi_axes[0] * diagonal_px(measured.width, measured.height)
    return contains(one.box, rim.centre) and rim_px >= RIM_SHARE * longest_px
