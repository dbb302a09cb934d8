"""What a drawn frame shows."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

import numpy as np
from numpy.typing import NDArray
from scipy.ndimage import binary_closing, binary_erosion, find_objects, label

from auditor.geometry import Box, clock_from_direction
from auditor.sketch.canvas import canvas_of
from auditor.sketch.drawn import DrawnFrame, FrameOnPage, Guess
from auditor.sketch.ink_network import LabelledInk, label_ink
from auditor.sketch.technique import read_technique
from auditor.sketch.things import EVEN, EVERYWHERE, LabelledThing, find_things
from auditor.vocabulary.sides import Side

# From this ratio on, a circle drawn by hand is meant to be round. The sine changes little there:
# at 0.95 it would be 72 degrees.
ROUND, OVERHEAD_DEG = 0.95, 90.0
# Of an arrow and of a note. Arrows that are drawn have 36 px and more, with one exception of 21;
# what is taken for one mostly up to 30 (chosen on 94 drawn frames). Directions that disagree have a
# mean that is shorter than 1.
LEAST_ARROW_PX, LEAST_AGREEMENT = 32.0, 0.8
LEAST_NOTE_PX = 12
NOTE_GAP_PX = 3  # letters and words nearer than this are one note
LEAST_HATCHED_FRACTION = 0.04  # of the frame: less is the shading of a thing
HATCHED_RIM_PX = 2  # how far its label reaches beyond the lines, as it was trained
SIDE_DEPTH = 0.6  # of the frame: a hatched area that is narrower lies on a side


def interpret(frame: FrameOnPage) -> DrawnFrame:
    """Read technique, things, camera, light, empty space and notes of a frame."""
    canvas = canvas_of(frame)
    labels = label_ink(canvas)
    things = list(find_things(labels))
    subject = max(things, key=lambda one: one.subject_weight, default=None)
    others = sorted(
        (one.drawn for one in things if one is not subject),
        key=lambda one: one.area_fraction,
        reverse=True,
    )
    hatched = _hatched(labels)
    return DrawnFrame(
        page=frame,
        technique=read_technique(canvas),
        subject=None if subject is None else subject.drawn,
        supporting=tuple(others),
        camera_elevation_deg=_elevation(things),
        light_clock=_light(labels),
        empty_fraction=None if hatched is None else Guess(hatched[0].area_fraction, hatched[1]),
        empty_side=None if hatched is None else _side(*hatched),
        notes=tuple(_notes(labels)),
    )


def _elevation(things: Sequence[LabelledThing]) -> Guess[float] | None:
    """The median over the things that show it, each counted by its size."""
    shown = sorted((one for one in things if one.shows_angle > EVEN), key=lambda one: one.squash)
    if not shown:
        return None
    so_far = np.cumsum([one.n_px for one in shown])
    middle = shown[int(np.searchsorted(so_far, so_far[-1] / 2))]
    sure = float(np.average([one.shows_angle for one in shown], weights=[o.n_px for o in shown]))
    if middle.squash >= ROUND:
        return Guess(OVERHEAD_DEG, sure)
    return Guess(math.degrees(math.asin(middle.squash)), sure)


def _light(labels: LabelledInk) -> Guess[float] | None:
    """The clock position from which the largest arrow comes."""
    likely = np.where(labels["arrow"] > EVEN, labels["arrow"], 0)
    parts, n = label(likely > 0, EVERYWHERE)
    guesses = (_arrow_light(labels, np.where(parts == k, likely, 0)) for k in range(1, n + 1))
    return max((g for g in guesses if g is not None), key=lambda g: g[0], default=(0, None))[1]


def _arrow_light(
    labels: LabelledInk, likely: NDArray[np.float32]
) -> tuple[float, Guess[float]] | None:
    """Ink of an arrow and where its light comes from; None for what is not one whole arrow."""
    total = float(likely.sum())
    if total < LEAST_ARROW_PX:
        return None
    right, down = (
        float(((2 * labels[name] - 1) * likely).sum()) / total
        for name in ("to light x", "to light y")
    )
    agreement = math.hypot(right, down)
    if agreement < LEAST_AGREEMENT:
        return None
    sure = total / int((likely > 0).sum()) * min(1.0, agreement)
    return total, Guess(clock_from_direction(right, -down), sure)


def _hatched(labels: LabelledInk) -> tuple[Box, float] | None:
    """The box of a hatched area, and how sure it is."""
    likely = labels["hatching"][labels.frame]
    parts, n = label(likely > EVEN, EVERYWHERE)
    if n == 0:
        return None
    largest = parts == 1 + int(np.argmax(np.bincount(parts.ravel())[1:]))
    inner = binary_erosion(largest, iterations=HATCHED_RIM_PX)
    if not inner.any():
        return None
    box = _box(find_objects(inner.astype(int))[0], likely.shape)
    if box.area_fraction < LEAST_HATCHED_FRACTION:
        return None
    return box, float(likely[largest].mean())


def _side(box: Box, confidence: float) -> Guess[Side] | None:
    """The side on which a hatched area lies; None for one in the middle or all around."""
    wide, high = box.right - box.left, box.bottom - box.top
    if min(wide, high) > SIDE_DEPTH:
        return None
    side: Side
    if wide < high:
        side = "left" if box.centre.x < 0.5 else "right"
    else:
        side = "top" if box.centre.y < 0.5 else "bottom"
    return Guess(side, confidence)


def _notes(labels: LabelledInk) -> Iterator[Box]:
    """The boxes of handwriting in the frame."""
    likely = labels["notes"][labels.frame] > EVEN
    joined = binary_closing(np.pad(likely, NOTE_GAP_PX), EVERYWHERE, iterations=NOTE_GAP_PX)
    parts, _ = label(joined[NOTE_GAP_PX:-NOTE_GAP_PX, NOTE_GAP_PX:-NOTE_GAP_PX], EVERYWHERE)
    for k, place in enumerate(find_objects(parts), start=1):
        if int(((parts == k) & likely).sum()) >= LEAST_NOTE_PX:
            yield _box(place, likely.shape)


def _box(place: tuple[slice, slice], shape: tuple[int, ...]) -> Box:
    rows, columns = place
    height, width = shape
    return Box(columns.start / width, rows.start / height, columns.stop / width, rows.stop / height)
