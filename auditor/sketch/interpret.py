"""What a drawn frame shows."""

from __future__ import annotations

import math

import numpy as np

from auditor.geometry import Point, describe_mask, distance_fraction, moments_of
from auditor.sketch.arrow import find_arrow
from auditor.sketch.canvas import Canvas, Mask, canvas_of
from auditor.sketch.drawn import DrawnFrame, DrawnThing, FrameOnPage, Shape
from auditor.sketch.elevation import read_elevation
from auditor.sketch.empty_space import read_empty_space
from auditor.sketch.gaps import links, with_links
from auditor.sketch.grid import read_grid
from auditor.sketch.grouping import LEAST_OVAL, Thing, group
from auditor.sketch.hatching import find_hatching
from auditor.sketch.notes import find_notes
from auditor.sketch.outlines import find_outlines
from auditor.sketch.strokes import trace_strokes

LEAST_THING = 0.0015  # of the frame
# Nine in ten of the things found on generated pages are things; of small ones fewer.
CONFIDENCE, SMALL_CONFIDENCE, SMALL_THING = 0.92, 0.8, 0.01
# The choice of the subject: a conditional logit fitted to the frames of 40 generated pages. A cloth
# lies under the subject however large it is (our choice).
PER_LOG_AREA, PER_POINT_DISTANCE, PER_MIDDLE_DISTANCE = 2.7, 7.0, 2.9
FOR_OVAL, FOR_CLOTH = 0.45, 3.0
FAR_FROM_POINT = 0.15  # of the diagonal; beyond it a point draws no more
MIDDLE = Point(0.5, 0.5)
STRONG_POINTS = (MIDDLE, *(Point(x / 3, y / 3) for x in (1, 2) for y in (1, 2)))


def interpret(frame: FrameOnPage) -> DrawnFrame:
    """Read technique, things, camera, light and notes from the ink of a frame."""
    canvas = canvas_of(frame)
    grid = read_grid(canvas)
    ink = grid.ink
    hatching = find_hatching(canvas, trace_strokes(ink))
    if hatching is not None:
        ink = ink & ~hatching.area
    notes = find_notes(ink, max(canvas.width, canvas.height))
    for note in notes:
        ink = ink & ~note.mask
    arrow = find_arrow(canvas, ink)
    if arrow is not None:
        ink = ink & ~arrow.mask
    closed = with_links(ink, links(trace_strokes(ink), canvas.diagonal))
    strokes = trace_strokes(closed)
    frame_px = canvas.width * canvas.height
    things = [
        thing
        for thing in group(canvas, find_outlines(canvas, closed, strokes))
        if thing.area >= LEAST_THING * frame_px
    ]
    drawn = [_drawn(canvas, thing) for thing in things]
    subject = _subject(frame, drawn)
    supporting = tuple(one for i, one in enumerate(drawn) if i != subject)
    empty = read_empty_space(canvas, hatching, things)
    n_side = sum(one.shape is Shape.SIDE_VIEW for one in drawn)
    return DrawnFrame(
        page=frame,
        technique=grid.technique,
        subject=None if subject is None else drawn[subject],
        supporting=supporting,
        camera_elevation_deg=read_elevation(things, n_side),
        light_clock=None if arrow is None else arrow.light_clock,
        empty_fraction=empty[0] if empty else None,
        empty_side=empty[1] if empty else None,
        notes=tuple(canvas.box(note.rows, note.columns) for note in notes),
    )


def _drawn(canvas: Canvas, thing: Thing) -> DrawnThing:
    region = describe_mask(thing.filled[canvas.inside])
    if region is None:  # kept out by LEAST_THING
        raise AssertionError("a thing without pixels in the frame")
    shape = _shape(thing)
    oval = thing.body if shape is Shape.OVAL else None
    return DrawnThing(
        region.centroid,
        region.bbox,
        region.area_fraction,
        shape,
        oval.ratio if oval else None,
        oval.angle_deg if oval else None,
        CONFIDENCE if region.area_fraction >= SMALL_THING else SMALL_CONFIDENCE,
    )


def _shape(thing: Thing) -> Shape:
    if thing.is_cloth:
        return Shape.CLOTH
    if thing.body.overlap >= LEAST_OVAL:
        return Shape.OVAL
    return Shape.SIDE_VIEW if _stands(thing.filled) else Shape.OTHER


def _stands(filled: Mask) -> bool:
    """Whether an outline has a flat base, as things seen from the side do."""
    rows, columns = np.nonzero(filled)
    height, width = np.ptp(rows) + 1, np.ptp(columns) + 1
    if moments_of(columns, rows).elongation > 4.5 or height < 0.4 * width:
        return False
    base = columns[rows >= rows.max() - max(2, 0.05 * height)]
    return bool(np.ptp(base) + 1 >= 0.3 * width)


def _subject(page: FrameOnPage, drawn: list[DrawnThing]) -> int | None:
    """Index of what the frame is of: large, near a point of a technique and the middle."""
    if not drawn:
        return None
    ratio = page.aspect_ratio
    scores = []
    for one in drawn:
        off = min(distance_fraction(one.centre, point, ratio, 1.0) for point in STRONG_POINTS)
        score = PER_LOG_AREA * math.log(max(one.area_fraction, LEAST_THING))
        score -= PER_POINT_DISTANCE * min(off, FAR_FROM_POINT)
        score -= PER_MIDDLE_DISTANCE * distance_fraction(one.centre, MIDDLE, ratio, 1.0)
        score += FOR_OVAL * (one.shape is Shape.OVAL) - FOR_CLOTH * (one.shape is Shape.CLOTH)
        scores.append(score)
    return int(np.argmax(scores))
