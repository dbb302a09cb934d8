"""What works against a picture, as clauses."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable

from auditor.colorimetry import colour_difference
from auditor.geometry import Box
from auditor.record.addition_records import WritingRecord
from auditor.record.colour_records import ClippedRegionRecord
from auditor.record.picture_record import MeasuredPictureRecord
from auditor.wording.additions import FOOT, HEAD
from auditor.wording.critique.amounts import EDGES, TOUCHES, edges_reached, place_phrase
from auditor.wording.critique.division import side_things
from auditor.wording.critique.empty_ground import is_surely_patterned
from auditor.wording.critique.frame_within import has_border, may_be_several
from auditor.wording.critique.noun import (
    has_subject,
    has_sure_outline,
    is_food,
    noun,
    sure,
    whole_noun,
)
from auditor.wording.critique.planned import planned_topics
from auditor.wording.critique.statement import Clause
from auditor.wording.numbers import decimal, degrees, kelvin, percent

# Confidences and limits: chosen by looking at pictures beside the sentences, no other source.
SURE_SOFT = 0.7
SURE_ROLL, CLEAR_TILT_DEG = 0.93, 3.0  # below, perspective and edges of tables leaned as much
TIGHT = 0.025  # of the frame's side, between the subject and its edge
COMPETES, LARGER, SURE_COMPETITOR = 0.7, 1.15, 0.68  # the first two of the subject's area
BURNT, BURNT_REGION, BURNT_ANYWHERE, BLOCKED = 0.015, 0.015, 0.04, 0.1
"""Of the frame: white without detail that is seen on the subject, its largest place, and white that
is seen wherever it lies; then black without detail (our choice, no source)."""
INNER_PART = 0.35  # of the sides of the subject's box, from its middle (our choice, no source)
CLOSE_LIGHTNESS, CLOSE_COLOUR = 7.0, 8.0  # CIELAB L*, CIEDE2000
SAME_COLOUR, LEAST_SHARED = 10.0, 0.85  # CIEDE2000; of the subject
COOL_MIRED, WARM_MIRED, SURE_CAST = 125.0, 215.0, 0.55
DARK_LIGHTNESS = 30.0  # CIELAB L*, mean of the frame
SURE_WRITING, LEAST_LINES = 0.85, 3
SURE_CUT, SMALLEST_CUT, LARGEST_CUT = 0.8, 0.04, 0.08
"""Of a thing that is cut off and distracts: its confidence, and its share of the frame (our choice,
no source)."""


def weaknesses(picture: MeasuredPictureRecord) -> list[Clause]:
    """All that works against it beside what it misses of its plan."""
    decided = planned_topics(picture)
    found = (make(picture) for make in _MAKERS)
    return [one for one in found if one is not None and one.topic not in decided]


def _focus(picture: MeasuredPictureRecord) -> Clause | None:
    focus = picture.focus
    if focus.subject_in_focus is None:
        return None
    figures = (
        ""
        if focus.subject_sharpness is None
        else (f"sharpness of the subject {decimal(focus.subject_sharpness, 2)} of 1")
    )
    causes = {
        "motion blur": "the blur has a direction: something moved",
        "soft all over": "nothing in the frame is really sharp",
    }
    if has_subject(picture):
        causes["missed focus"] = f"{noun(picture)} is soft and something else is sharp"
    if focus.cause in causes and (focus.cause_confidence or 0.0) >= SURE_SOFT:
        return Clause(causes[focus.cause], figures, "focus", 0.98)
    if focus.subject_in_focus or (focus.confidence or 0.0) < SURE_SOFT:
        return None
    if not has_subject(picture):
        return None
    at = focus.sharpest_at
    where = "" if at is None else f"; the sharpest part lies {place_phrase(*at)}"
    return Clause(f"{noun(picture)} looks softer than other parts{where}", figures, "focus", 0.95)


def _tilt(picture: MeasuredPictureRecord) -> Clause | None:
    deg, confidence = picture.roll.deg, picture.roll.confidence or 0.0
    if deg is None or abs(deg) < CLEAR_TILT_DEG or confidence < SURE_ROLL:
        return None
    way = "to the left" if deg > 0 else "to the right"
    words = f"lines that should be level or upright lean {way}"
    return Clause(words, f"tilt {degrees(abs(deg), 1)}, {sure(confidence)}", "tilt", 0.7)


def _tight(picture: MeasuredPictureRecord) -> Clause | None:
    box = picture.subject.bbox
    if box is None or not has_sure_outline(picture) or is_food(picture) or edges_reached(box):
        return None
    left, top, right, bottom = box
    rooms = zip(EDGES, (left, top, 1 - right, 1 - bottom), strict=True)
    tight = [(edge, room) for edge, room in rooms if TOUCHES < room <= TIGHT]
    if len(tight) != 1:
        return None
    edge, room = tight[0]
    words = f"{noun(picture)} almost touches the {edge} edge, which leaves it no room"
    return Clause(words, f"{percent(room)} of the side free", "edge", 0.5)


def _competitor(picture: MeasuredPictureRecord) -> Clause | None:
    area = picture.subject.area_fraction or 0.0
    for one in side_things(picture):
        if one.area_fraction >= COMPETES * area and (one.confidence or 0.0) >= SURE_COMPETITOR:
            place = place_phrase(*one.centroid)
            size = "larger than" if one.area_fraction > LARGER * area else "about as large as"
            words = f"what lies {place} is {size} {noun(picture)} and competes with it"
            figures = f"{percent(one.area_fraction)} beside {percent(area)}"
            return Clause(words, figures, "company", 0.75)
    return None


def _cut_off(picture: MeasuredPictureRecord) -> Clause | None:
    for one in side_things(picture):
        edges = edges_reached(one.bbox)
        is_sure = (one.confidence or 0.0) >= SURE_CUT
        if edges and is_sure and SMALLEST_CUT <= one.area_fraction <= LARGEST_CUT:
            words = f"what is cut off {place_phrase(*one.centroid)} draws the eye to the edge"
            return Clause(words, f"{percent(one.area_fraction)} of the frame", "company", 0.45)
    return None


def _burnt(picture: MeasuredPictureRecord) -> Clause | None:
    """White without detail: clipped in all three channels, and in one large place.

    A colour that is clipped in one channel only is strong, not burnt out.
    """
    clipping = picture.tone.clipping
    if clipping is None or min(clipping.highlights) < BURNT:
        return None
    regions = [one for one in _regions(picture, "highlights") if one.share >= BURNT_REGION]
    if not regions:
        return None
    figures = f"{percent(min(clipping.highlights))} of the frame white without detail"
    largest = max(regions, key=lambda one: one.share)
    box = picture.subject.bbox
    if box is not None and has_subject(picture) and _is_inside(largest, Box(*box)):
        name = whole_noun(picture)
        return Clause(f"whites on {name} are burnt out", figures, "burnt", 0.8)
    if min(clipping.highlights) < BURNT_ANYWHERE:
        return None
    return Clause("parts of the picture are burnt out", figures, "burnt", 0.6)


def _blocked(picture: MeasuredPictureRecord) -> Clause | None:
    clipping = picture.tone.clipping
    share = 0.0 if clipping is None else min(clipping.shadows)
    if share < BLOCKED:
        return None
    words = "the darkest parts are black without detail"
    return Clause(words, f"{percent(share)} of the frame", "blocked", 0.4)


def _regions(picture: MeasuredPictureRecord, kind: str) -> list[ClippedRegionRecord]:
    clipping = picture.tone.clipping
    regions: Iterable[ClippedRegionRecord] = [] if clipping is None else clipping.regions
    return [one for one in regions if one.kind == kind]


def _is_inside(region: ClippedRegionRecord, box: Box) -> bool:
    left, top, right, bottom = region.bbox
    inside = box.left <= left and right <= box.right and box.top <= top and bottom <= box.bottom
    across = ((left + right) / 2 - box.centre.x) / max(box.right - box.left, TOUCHES)
    down = ((top + bottom) / 2 - box.centre.y) / max(box.bottom - box.top, TOUCHES)
    return inside and math.hypot(across, down) <= INNER_PART


def _close(picture: MeasuredPictureRecord) -> Clause | None:
    tone = picture.subject_tone
    if tone is None or not has_subject(picture):
        return None
    by = abs(tone.lightness_difference)
    if (
        by > CLOSE_LIGHTNESS
        or tone.colour_difference > CLOSE_COLOUR
        or not _shares_colours(picture)
    ):
        return None
    words = f"{whole_noun(picture)} and what surrounds it are close in lightness and colour"
    figures = f"{decimal(by, 0)} L* and {decimal(tone.colour_difference, 0)} ΔE₀₀ apart"
    return Clause(words, figures, "apart", 0.7)


def _shares_colours(picture: MeasuredPictureRecord) -> bool:
    """Whether the subject has the colours of the ground: means alone also agree by chance."""
    own, ground = picture.subject_palette, picture.ground_palette
    if not own or not ground:
        return False
    shared = sum(
        one.share
        for one in own
        if min(colour_difference(one.lab, other.lab) for other in ground) <= SAME_COLOUR
    )
    return shared >= LEAST_SHARED * sum(one.share for one in own)


def _pattern(picture: MeasuredPictureRecord) -> Clause | None:
    if not is_surely_patterned(picture) or not has_subject(picture):
        return None
    space = picture.negative_space
    patterned = (space.fraction or 0.0) - (space.plain_fraction or 0.0)
    words = f"the patterned ground draws some attention from {noun(picture)}"
    return Clause(words, f"{percent(patterned)} of the frame has a pattern", "ground", 0.55)


def _cast(picture: MeasuredPictureRecord) -> Clause | None:
    found = picture.colour_temperature
    if found.mired is None or found.cct_k is None or (found.confidence or 0.0) < SURE_CAST:
        return None
    figures = f"{kelvin(found.cct_k)}, {sure(found.confidence)}"
    if found.mired <= COOL_MIRED:
        return Clause("whites and greys in it look bluish", figures, "cast", 0.72)
    if found.mired >= WARM_MIRED:
        return Clause("whites and greys in it look yellowish", figures, "cast", 0.6)
    return None


def _dark(picture: MeasuredPictureRecord) -> Clause | None:
    lightness = picture.tone.mean_lightness
    tone = picture.subject_tone
    if lightness >= DARK_LIGHTNESS or tone is None or tone.lightness >= DARK_SUBJECT:
        return None
    if not has_subject(picture):
        return None
    words = f"{noun(picture)} itself is rather dark"
    return Clause(words, f"lightness {decimal(tone.lightness, 0)} of 100", "dark", 0.6)


DARK_SUBJECT = 42.0  # CIELAB L*, mean of the subject


def _writing(picture: MeasuredPictureRecord) -> Clause | None:
    lines = [one for one in picture.writing if (one.confidence or 0.0) >= SURE_WRITING]
    if len(lines) < LEAST_LINES and not any(_is_caption(line) for line in lines):
        return None
    confidence = max(line.confidence or 0.0 for line in lines)
    words = "writing on the picture draws the eye"
    return Clause(words, f"writing found, {sure(confidence)}", "writing", 0.65)


def _is_caption(line: WritingRecord) -> bool:
    """Whether a line stands where captions and signatures do; glare on food looks like writing."""
    middle = sum(y for _, y in line.corners) / len(line.corners)
    return not HEAD < middle < FOOT


def _border(picture: MeasuredPictureRecord) -> Clause | None:
    border = picture.border
    if border is None or not has_border(picture) or may_be_several(picture):
        return None
    left, top, right, bottom = border.inside
    figures = f"border up to {percent(max(left, top, 1 - right, 1 - bottom))} of a side"
    return Clause("the border around it makes the picture smaller", figures, "border", 0.3)


_MAKERS: tuple[Callable[[MeasuredPictureRecord], Clause | None], ...] = (
    _focus,
    _burnt,
    _competitor,
    _cast,
    _tilt,
    _close,
    _writing,
    _dark,
    _pattern,
    _tight,
    _cut_off,
    _blocked,
    _border,
)
