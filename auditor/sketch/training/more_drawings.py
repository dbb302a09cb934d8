"""Frames of plain shapes, to train with: what pages of `fixtures.sketching` seldom show.

Ovals without food at any turn, a large cloth under the subject, cutlery of a few strokes, arrows
with heads of every kind in every direction, areas hatched at any slope, cameras that look down by
15 to 25 degrees.
"""

from __future__ import annotations

import math

import numpy as np

from auditor.geometry import clock_from_direction
from fixtures.sketching import border, things
from fixtures.sketching.frame import Drawn, Frame, box_of
from fixtures.sketching.hand import (
    Generator,
    Points,
    any_hand,
    oval,
    straight,
    through,
    trembled,
    turned,
)
from fixtures.sketching.outline import outline_of
from fixtures.sketching.page import RATIOS
from fixtures.sketching.source import Source
from fixtures.sketching.things import CLOTH, OTHER, OVAL, Thing, View

LONGER_MM = 120.0
# Shares of frames, or of what is in them; our choice, no source.
WITH_TECHNIQUE, WITH_LARGE_CLOTH, WITH_ARROW, WITH_HATCHING = 0.4, 0.45, 0.55, 0.35
TURNED_OVALS = 0.4
ROUND_RATIO = 0.9  # a rounder oval shows a camera straight above, however it is turned
LEVEL_RAD = 0.1  # an oval that is turned less than this lies on the table
LEAST_MARGIN = 0.02  # between a thing and the frame, as a fraction of it
MOST_ATTEMPTS = 30


def draw_frame(source: Source, rng: Generator) -> Frame:
    """One random frame."""
    ratio = float(rng.choice(RATIOS))
    size = np.array([min(1.0, ratio), min(1.0, 1 / ratio)]) * LONGER_MM
    corners = np.array([[0, 0], [1, 0], [1, 1], [0, 1]]) * size + rng.normal(0, 0.4, (4, 2))
    hand = any_hand(rng)
    manner = str(rng.choice(["lines", "one go"]))
    frame = Frame(border.border(corners, source, hand, rng, manner))
    frame.truth |= {"technique": None, "light_clock": None}
    frame.add(frame.border.strokes, width=rng.uniform(0.8, 1.3), role="border")
    view = View(_elevation(rng), source, hand, rng)
    if rng.random() < WITH_TECHNIQUE:
        _technique(frame, view)
    frame.taken.clear()
    if rng.random() < WITH_HATCHING:
        _hatching(frame, view)
    _things(frame, view)
    if rng.random() < WITH_ARROW:
        _arrow(frame, view)
    return frame


def _elevation(rng: Generator) -> float:
    kind = rng.random()
    if kind < 0.4:
        return float(rng.uniform(15, 25))
    return 90.0 if kind < 0.6 else float(rng.uniform(25, 80))


def _technique(frame: Frame, view: View) -> None:
    name = str(view.rng.choice(border.TECHNIQUES))
    lines = border.grid(frame.border.corners, name, view.hand, view.rng)
    frame.add(lines, view.rng.uniform(0.5, 1.1), view.rng.uniform(0.4, 1.0), role="grid")
    frame.truth["technique"] = name


def _things(frame: Frame, view: View) -> None:
    """The subject, what lies under it at times, and up to four supporting elements."""
    rng, short = view.rng, min(frame.size)
    makers = [_plain_oval, _plain_oval, things.plate]
    if view.elevation_deg < 60:
        makers.append(things.deep_bowl)
    for _ in range(MOST_ATTEMPTS):
        make = makers[int(rng.integers(len(makers)))]
        at = frame.mm(*rng.uniform(0.3, 0.7, 2))
        thing = make(view, (float(at[0]), float(at[1])), short * rng.uniform(0.14, 0.36))
        if thing is not None and _is_free(frame, thing):
            break
    else:
        return
    if rng.random() < WITH_LARGE_CLOTH:
        _large_cloth(frame, view, thing)
    _put(frame, view, thing, is_subject=True)
    for _ in range(int(rng.integers(0, 5))):
        _supporting(frame, view)


def _supporting(frame: Frame, view: View) -> None:
    rng, short = view.rng, min(frame.size)
    for _ in range(MOST_ATTEMPTS):
        kind = rng.random()
        at = frame.mm(*rng.uniform(0.05, 0.95, 2))
        centre = (float(at[0]), float(at[1]))
        if kind < 0.3:
            thing: Thing | None = _plain_oval(view, centre, short * rng.uniform(0.06, 0.15))
        elif kind < 0.75:
            thing = _simple_cutlery(view, centre, short * rng.uniform(0.1, 0.22))
        elif kind < 0.9:
            word = str(rng.choice(things.LOOSE))
            thing = things.loose(word)(view, centre, short * rng.uniform(0.06, 0.12))
        else:
            thing = things.cloth(view, centre, short * rng.uniform(0.12, 0.2))
        if thing is not None and _is_free(frame, thing):
            _put(frame, view, thing, is_subject=False)
            return


def _is_free(frame: Frame, thing: Thing) -> bool:
    box = box_of(thing.strokes)
    place = frame.fractions(box)
    inside = min(place[:2]) > LEAST_MARGIN and max(place[2:]) < 1 - LEAST_MARGIN
    return inside and bool(thing.outline.polygons) and frame.is_clear(box)


def _put(frame: Frame, view: View, thing: Thing, *, is_subject: bool) -> None:
    frame.add(thing.strokes)
    frame.things.append(Drawn(thing.outline, thing.shape, is_subject, _squash(view, thing)))


def _squash(view: View, thing: Thing) -> float | None:
    if thing.name == "turned oval" or (thing.shape != OVAL and thing.name != "deep bowl"):
        return None
    return 1.0 if thing.name == "round" else view.squash


def _plain_oval(view: View, centre: tuple[float, float], half: float) -> Thing:
    """An oval, at times with a second one in it, whose ends may miss each other."""
    rng = view.rng
    is_turned = rng.random() < TURNED_OVALS
    ratio = float(rng.uniform(0.25, 1.0)) if is_turned else view.squash
    angle = rng.uniform(LEVEL_RAD, math.pi - LEVEL_RAD) if is_turned else rng.normal(0, 0.03)
    strokes = []
    for share in (1.0, rng.uniform(0.5, 0.88))[: 1 + int(rng.random() < 0.4)]:
        semi = (half * share, half * share * ratio)
        line = oval(np.zeros(2), semi, view.hand, rng)[0]
        missing = int(len(line) * max(0.0, rng.uniform(-0.08, 0.08)))
        strokes.append(turned(line[: len(line) - missing], angle) + np.array(centre))
    name = "oval" if not is_turned else "turned oval" if ratio < ROUND_RATIO else "round"
    return Thing(name, OVAL, tuple(strokes), outline_of(strokes, closed=True))


def _large_cloth(frame: Frame, view: View, on_it: Thing) -> None:
    """A cloth or board under a thing; the frame's things are listed from below."""
    rng = view.rng
    left, top, right, bottom = box_of(on_it.strokes)
    middle = np.array([left + right, top + bottom]) / 2
    half = np.array([right - left, bottom - top]) / 2 * rng.uniform(1.2, 2.0, 2)
    half = np.maximum(half, 0.8 * half[::-1])
    quad = turned(np.array([[-1, -1], [1, -1], [1, 1], [-1, 1]]) * half, rng.uniform(-0.5, 0.5))
    quad = quad + middle + rng.normal(0, 0.04, (4, 2)) * half + rng.normal(0, 0.1, 2) * half
    sides = [straight(quad[k], quad[(k + 1) % 4], view.hand, rng) for k in range(4)]
    strokes = sides if rng.random() < 0.5 else [np.vstack(sides)]
    thing = Thing("large cloth", CLOTH, tuple(strokes), outline_of([np.vstack(sides)], closed=True))
    if _is_free(frame, thing):
        _put(frame, view, thing, is_subject=False)


def _simple_cutlery(view: View, centre: tuple[float, float], half: float) -> Thing:
    """A fork, a spoon or a knife of a few strokes, lying in any direction."""
    rng = view.rng
    name = str(rng.choice(["fork", "fork", "spoon", "spoon", "knife"]))
    drawn = {"fork": _fork, "spoon": _spoon, "knife": _knife}[name](rng)
    angle = rng.uniform(0, 2 * math.pi)
    strokes = [trembled(turned(s * half, angle) + np.array(centre), view.hand, rng) for s in drawn]
    return Thing(name, OTHER, tuple(strokes), outline_of(strokes))


def _handle(start: float, rng: Generator) -> list[Points]:
    """From `start` to the end of a thing of half length 1: one line or a narrow loop."""
    if rng.random() < 0.5:
        return [np.array([[start, 0.0], [1.0, rng.normal(0, 0.03)]])]
    thick, wider = rng.uniform(0.03, 0.07), rng.uniform(1, 1.8)
    end = thick * wider
    return [np.array([[start, -thick], [0.97, -end], [1.0, 0], [0.97, end], [start, thick]])]


def _fork(rng: Generator) -> list[Points]:
    n = int(rng.integers(2, 5))
    neck, tips = rng.uniform(-0.5, -0.2), rng.uniform(-1.0, -0.85)
    wide = rng.uniform(0.12, 0.26)
    strokes = _handle(neck, rng)
    bends = rng.random() < 0.5
    for y in np.linspace(-wide, wide, n):
        if bends:
            strokes.append(through([[neck, 0.0], [neck - 0.12, y * 0.9], [tips, y]]))
        else:
            strokes.append(np.array([[neck - 0.05, y], [tips, y + rng.normal(0, 0.01)]]))
    if not bends:
        strokes.append(np.array([[neck - 0.05, -wide], [neck, 0.0], [neck - 0.05, wide]]))
    return strokes


def _spoon(rng: Generator) -> list[Points]:
    long, wide = rng.uniform(0.25, 0.42), rng.uniform(0.14, 0.28)
    t = np.linspace(0, 2 * math.pi, 40) * rng.uniform(0.92, 1.02) + rng.uniform(-0.2, 0.2)
    bowl = np.stack([-1 + long + long * np.cos(t), wide * np.sin(t)], axis=1)
    return [bowl, *_handle(-1 + 2 * long, rng)]


def _knife(rng: Generator) -> list[Points]:
    wide, heel = rng.uniform(0.08, 0.18), rng.uniform(-0.1, 0.2)
    blade = through([[-1.0, 0.0], [-0.7, wide], [heel, wide * 0.9], [heel, 0.0]])
    return [blade, np.array([[-1.0, 0.0], [heel, 0.0]]), *_handle(heel, rng)]


def _arrow(frame: Frame, view: View) -> None:
    """An arrow from any direction: on its side of the frame, within or outside, or anywhere."""
    rng = view.rng
    for _ in range(MOST_ATTEMPTS):
        angle = rng.uniform(0, 2 * math.pi)
        to_light = np.array([math.cos(angle), math.sin(angle)])
        place = rng.uniform(0.1, 0.9, 2)
        if rng.random() < 0.7:
            place = 0.5 + to_light * rng.uniform(0.3, 0.7) + rng.normal(0, 0.06, 2)
        middle = frame.mm(*place)
        half = min(frame.size) * rng.uniform(0.06, 0.15) * to_light
        strokes = _arrow_strokes(middle + half, middle - half, view)
        if not frame.is_clear(box_of(strokes)):
            continue
        frame.add(strokes, width=rng.uniform(0.8, 1.7), role="arrow")
        clock = clock_from_direction(float(to_light[0]), float(-to_light[1]))
        frame.truth["light_clock"] = clock
        return


def _arrow_strokes(tail: Points, tip: Points, view: View) -> list[Points]:
    rng, hand = view.rng, view.hand
    span = float(np.hypot(*(tip - tail)))
    across = np.array([tail[1] - tip[1], tip[0] - tail[0]])
    sag = rng.normal(0, 0.06) if rng.random() < 0.4 else 0.0
    shaft = trembled(through(np.array([tail, (tail + tip) / 2 + sag * across, tip])), hand, rng)
    back = math.atan2(*(tail - tip)[::-1])
    reach, spread = span * rng.uniform(0.15, 0.55), rng.uniform(0.3, 1.0)
    wings = [
        tip + reach * rng.uniform(0.85, 1.15) * np.array([math.cos(back + s), math.sin(back + s)])
        for s in (spread, -spread)
    ]
    head = [straight(tip, wing, hand, rng) for wing in wings]
    kind = rng.random()
    if kind < 0.2:
        head.append(straight(wings[0], wings[1], hand, rng))
    elif kind < 0.45:  # filled, to and fro
        shares = np.linspace(0, 1, 12)
        fill = [tip + (wings[k % 2] - tip) * share for k, share in enumerate(shares)]
        head.append(np.array([*fill, wings[0], wings[1]]))
    return [shaft, *head]


def _hatching(frame: Frame, view: View) -> None:
    """Parallel lines at any slope over a part of the frame, mostly along a side."""
    rng = view.rng
    low = rng.uniform(0.02, 0.1, 2)
    high = 1 - rng.uniform(0.02, 0.1, 2)
    axis, depth = int(rng.integers(2)), rng.uniform(0.15, 0.35)
    if rng.random() < 0.3:  # not the whole side
        low[1 - axis] += rng.uniform(0.1, 0.4)
    if rng.random() < 0.5:
        high[axis] = low[axis] + depth
    else:
        low[axis] = high[axis] - depth
    corners = np.array([frame.mm(*low), frame.mm(*high)])
    lines = _chords(corners, rng.uniform(0, math.pi), LONGER_MM * rng.uniform(0.03, 0.06), rng)
    drawn = [straight(a, b, view.hand, rng) for a, b in lines]
    if drawn:
        frame.add(drawn, rng.uniform(0.5, 1.1), rng.uniform(0.4, 1.0), role="hatching")


def _chords(box: Points, angle: float, apart: float, rng: Generator) -> list[Points]:
    """Parallel lines through a box (2, 2) of least and greatest x and y, with ragged ends."""
    along = np.array([math.cos(angle), math.sin(angle)])
    across = np.array([-along[1], along[0]])
    middle, reach = box.mean(axis=0), float(np.hypot(*(box[1] - box[0]))) / 2
    found = []
    t = np.linspace(-reach, reach, 300)[:, None]
    for offset in np.arange(-reach, reach, apart):
        line = middle + across * (offset + rng.normal(0, 0.1 * apart)) + along * t
        within = line[((line > box[0]) & (line < box[1])).all(axis=1)]
        if len(within) > 12:
            found.append(within[[0, -1]] + rng.normal(0, 0.15 * apart, (2, 2)))
    return found
