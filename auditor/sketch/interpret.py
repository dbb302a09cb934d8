"""What a drawn frame shows."""

from __future__ import annotations

import math

import numpy as np

from auditor.geometry import describe_mask, moments_of
from auditor.sketch.arrow import find_arrow
from auditor.sketch.canvas import Canvas, Mask, canvas_of
from auditor.sketch.drawn import DrawnFrame, DrawnThing, FrameOnPage, Shape
from auditor.sketch.elevation import read_elevation
from auditor.sketch.gaps import links, with_links
from auditor.sketch.grid import read_grid
from auditor.sketch.grouping import LEAST_OVAL, Thing, group
from auditor.sketch.notes import find_notes
from auditor.sketch.outlines import find_outlines
from auditor.sketch.strokes import trace_strokes

LEAST_THING = 0.0015  # of the frame


def interpret(frame: FrameOnPage) -> DrawnFrame:
    """Read technique, things, camera, light and notes from the ink of a frame."""
    canvas = canvas_of(frame)
    grid = read_grid(canvas)
    ink = grid.ink
    arrow = find_arrow(canvas, ink)
    if arrow is not None:
        ink = ink & ~arrow.mask
    notes = find_notes(ink, max(canvas.width, canvas.height))
    for note in notes:
        ink = ink & ~note.mask
    closed = with_links(ink, links(trace_strokes(ink), canvas.diagonal))
    strokes = trace_strokes(closed)
    frame_px = canvas.width * canvas.height
    things = [
        thing
        for thing in group(canvas, find_outlines(canvas, closed, strokes))
        if thing.area >= LEAST_THING * frame_px
    ]
    drawn = [_drawn(canvas, thing) for thing in things]
    subject = _subject(things, drawn)
    supporting = tuple(one for i, one in enumerate(drawn) if i != subject)
    n_side = sum(one.shape is Shape.SIDE_VIEW for one in drawn)
    return DrawnFrame(
        page=frame,
        technique=grid.technique,
        subject=None if subject is None else drawn[subject],
        supporting=supporting,
        camera_elevation_deg=read_elevation(things, n_side),
        light_clock=None if arrow is None else arrow.light_clock,
        empty_fraction=None,
        empty_side=None,
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
        0.8,
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


def _subject(things: list[Thing], drawn: list[DrawnThing]) -> int | None:
    if not drawn:
        return None
    scores = []
    for thing, one in zip(things, drawn, strict=True):
        score = math.log(max(one.area_fraction, 1e-4))
        score += 1.0 * min(1.0, thing.inner_ink * 8)
        score -= 3.0 * (one.shape is Shape.CLOTH) + 0.7 * (one.shape is Shape.OTHER)
        scores.append(score)
    return int(np.argmax(scores))
