"""From a planned shot to the drawing of its frame."""

from __future__ import annotations

import math
from collections.abc import Sequence

from auditor.geometry import Box, Point
from auditor.page.drawing.layers import Frame
from auditor.plan.shot_plan import Intent, Shot
from auditor.plan_sheet.drawing import (
    Drawing,
    Line,
    Role,
    corners_of,
    frame_of,
    grown,
    whole,
)
from auditor.plan_sheet.guides import diagonal_lines, empty_side_marks, grid_lines
from auditor.plan_sheet.lettering import Lettering
from auditor.plan_sheet.light_arrow import light_arrow
from auditor.plan_sheet.places_taken import PlacesTaken
from auditor.plan_sheet.things import Thing, lay_out
from auditor.plan_sheet.word_places import Named, ends_of, place_words
from auditor.wording.plan_sheet import LIGHT_FROM_ABOVE, SUBJECT, empty_label, light_label

# Where no aspect ratio was planned: that of most cameras. The sheet says so.
DEFAULT_ASPECT_RATIO = 1.5
ROOM_AHEAD = 2.0  # of an arrow's tip, in sizes of the text


def draw_shot(shot: Shot, lettering: Lettering, *, names_inside: bool = True) -> Drawing:
    """Draw the frame of a shot.

    Parameters
    ----------
    shot : Shot
    lettering : Lettering
        Of its words.
    names_inside : bool
        Whether names may stand inside the outlines, where a live view shows the food.
    """
    intent = shot.intent
    ratio = intent.aspect_ratio
    frame = frame_of(ratio.nominal if ratio else DEFAULT_ASPECT_RATIO)
    layout = lay_out(intent, frame)
    things = layout.things
    outlines = [line for thing in things for line in _lines_of(thing)]
    marks = empty_side_marks(intent, things, frame)
    guides = (*grid_lines(intent, things, frame), *diagonal_lines(intent, things, frame))

    taken = PlacesTaken()
    taken.add([*guides, *marks, *outlines], [thing.box for thing in things])
    arrow: tuple[Line, ...] = ()
    if intent.light is not None:
        arrow = light_arrow(intent.light.nominal, frame, taken)
        taken.add(arrow, [_ahead(arrow, ROOM_AHEAD * lettering.size)])
    names = [one.name for one in intent.supporting]
    named = [
        *_named_things(things, names, inside=names_inside),
        *_named_marks(intent, frame, marks, arrow),
    ]
    return Drawing(
        frame,
        layout.zones,
        (*guides, *marks, *outlines, *arrow),
        place_words(named, frame, lettering, taken),
        lettering.size,
    )


def _ahead(arrow: Sequence[Line], reach: float) -> Box:
    """Before an arrow's tip, where a word would stand in the way of the light."""
    tail, tip = arrow[0].points
    share = reach / math.dist(tail, tip)
    at = Point(tip.x + share * (tip.x - tail.x), tip.y + share * (tip.y - tail.y))
    return grown(Box(*at, *at), reach)


def _lines_of(thing: Thing) -> list[Line]:
    role = Role.SUBJECT if thing.name is None else Role.SUPPORTING
    lines = [Line(thing.outline, role, is_dashed=thing.is_assumed, is_closed=True)]
    return lines + [Line(points, role, is_dashed=thing.is_assumed) for points in thing.inner]


def _named_things(
    things: Sequence[Thing], names: Sequence[str | None], *, inside: bool
) -> list[Named]:
    """The things with their names; a number is a place in the list beside the frame."""
    first = {thing.name: thing for thing in reversed(things) if thing.name is not None}
    named = [
        Named(name, thing.outline, str(names.index(name) + 1), is_area=inside)
        for name, thing in first.items()
    ]
    subject = [
        Named(SUBJECT, thing.outline, is_area=inside) for thing in things if thing.name is None
    ]
    return [*subject, *sorted(named, key=lambda one: -len(one.text))]


def _named_marks(
    intent: Intent, frame: Frame, marks: Sequence[Line], arrow: Sequence[Line]
) -> list[Named]:
    """The arrow with the light's clock position, and the share that stays empty."""
    named = []
    if intent.light is not None:
        text = light_label(intent.light.nominal)
        named.append(Named(text, ends_of(arrow), is_area=False, anywhere=True))
    if intent.light is None and intent.light_from_above:
        top = (Point(frame.width / 2, 0.0),)
        named.append(Named(LIGHT_FROM_ABOVE, top, is_area=False, anywhere=True))
    if intent.negative_space is not None:
        text = empty_label(intent.negative_space)
        single = len(intent.negative_space_sides) == 1 and bool(marks)
        at = ends_of(marks) if single else corners_of(whole(frame))
        named.append(Named(text, at, is_area=False, anywhere=True))
    return named
