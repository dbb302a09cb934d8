"""The places of the vocabulary, for the list of words."""

from __future__ import annotations

from auditor.vocabulary.listed import Listed
from auditor.vocabulary.places import FRAME_WORDS, PLACE_WORDS, RELATION_FORMS, zone_of_place
from auditor.vocabulary.zones import Relation


def listed_places() -> tuple[Listed, ...]:
    """The places in the frame, for the list of words."""
    also = {"centre": ("center", "middle"), "top": ("upper",), "bottom": ("lower",)}
    meanings = {
        **{
            side: f'{_zone_meaning(side)}; for the whole {band} write "{side} third"'
            for side, band in (
                ("left", "height"),
                ("right", "height"),
                ("top", "width"),
                ("bottom", "width"),
            )
        },
        "off centre": "anywhere but the middle fifth of both directions",
        "on an intersection": "one of the four points where the lines of thirds cross",
        "on a line of thirds": "one of the four lines",
    }
    ways = {
        "off centre": ("off-centre",),
        "on an intersection": ("power point", "on a thirds intersection"),
        "on a line of thirds": ("on a third",),
    }
    return (
        *(Listed(
              words, meanings.get(words) or _zone_meaning(words),
              also.get(words, _TOP_FORMS.get(words, ())),
          )
          for words in PLACE_WORDS),
        *(
            Listed(words, meanings.get(words) or _zone_meaning(words), ways.get(words, ()))
            for words in FRAME_WORDS
        ),
        Listed(
            "slightly left of centre",
            f"{_zone_meaning('slightly left of centre')}; so for right, above and below",
            ("just left of centre", "slightly left"),
        ),
        Listed("lower third, slightly right", "the same strip in that third"),
        Listed("behind on the right", "as upper right; in front as lower right", ("back right",)),
        Listed("either side", "the left third or the right third", ("off to one side",)),
        Listed("[0.67, 0.33]", "a point: fractions from the left edge and from the top"),
        Listed("upper left or upper right", 'either will do; also ["upper left", "upper right"]'),
    )  # fmt: skip


def listed_relations() -> tuple[Listed, ...]:
    """The places that are named after the subject, for the list of words."""
    return tuple(
        Listed(
            relation.value,
            _RELATION_MEANINGS[relation],
            tuple(form for form, one in RELATION_FORMS.items()
                  if one is relation and form not in {relation.value, "on"}),
        )
        for relation in Relation
    )  # fmt: skip


_TOP_FORMS = {
    f"{down} {across}": (f"{other} {across}",)
    for down, other in (("upper", "top"), ("lower", "bottom"))
    for across in ("left", "right")
}
_RELATION_MEANINGS = {
    Relation.BEHIND: "above the subject in the picture",
    Relation.IN_FRONT: "below the subject in the picture",
    Relation.BESIDE: "left or right of it",
    Relation.LEFT_OF: "on that side of it",
    Relation.RIGHT_OF: "on that side of it",
    Relation.AROUND: "behind it, in front of it or beside it",
    Relation.ON: "within its outline",
    Relation.UNDER: "within its outline",
}


def _zone_meaning(words: str) -> str:
    zone = zone_of_place(words, None)
    if zone is None or zone.is_point:
        return "the middle of the frame"
    left, top, right, bottom = (round(100 * edge) for edge in zone.boxes[0])
    return f"{left} to {right}% across, {top} to {bottom}% down"
