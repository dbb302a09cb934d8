"""Train both networks: ``python -m auditor.sketch.training OUT PAGES...``."""

from __future__ import annotations

import math
import sys
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from auditor.geometry import Box, clock_difference_hours, clock_from_direction
from auditor.sketch.arrow_features import N_ACROSS, N_ALONG, candidates
from auditor.sketch.canvas import Canvas, Mask, canvas_of
from auditor.sketch.grid import read_grid
from auditor.sketch.notes import box_of, features, mark_rows
from auditor.sketch.training.drawn_arrows import arrow_examples
from auditor.sketch.training.drawn_things import thing_examples
from auditor.sketch.training.fitting import fit, save
from auditor.sketch.training.pages import TrueFrame, true_frames

Floats = NDArray[np.float64]
Example = tuple[Floats, float]

N_ARROWS, N_THINGS, SEED = 2500, 2100, 1
# An arrow within this many hours of the truth may be the arrow; only others teach what is none.
NO_ARROW_HOURS = 1.2
PAGE_WEIGHT = 3.0  # of what stands on pages beside drawn arrows
MOSTLY, HARDLY = 0.6, 0.1  # shares of a row of marks within handwriting or a thing
PAD = 0.02  # of the frame around a box of the truth


def main() -> None:
    """Read the arguments, train, write."""
    out, *paths = (Path(argument) for argument in sys.argv[1:])
    no_arrows: list[Floats] = []
    rows: list[Example] = []
    for frame in true_frames(paths):
        canvas = canvas_of(frame.page)
        ink = read_grid(canvas).ink
        found, written = _rows(frame, canvas, ink)
        rows += found
        no_arrows += _no_arrows(frame, canvas, ink & ~written)
    x, y = arrow_examples(N_ARROWS, SEED)
    things = thing_examples(N_THINGS, SEED)
    x = np.concatenate([x, things, np.array(no_arrows)])
    ones = np.ones(len(y) + len(things))
    weights = np.concatenate([ones, np.full(len(no_arrows), PAGE_WEIGHT)])
    y = np.concatenate([y, np.zeros(len(things) + len(no_arrows))])
    x, y, weights = np.concatenate([x, _mirrored(x)]), np.tile(y, 2), np.tile(weights, 2)
    net = fit(x, y, weights, n_hidden=16, n_rounds=24, decay=2e-4, seed=SEED)
    save(net, out / "arrow_network.npz")
    x, y = np.array([row[0] for row in rows]), np.array([row[1] for row in rows])
    net = fit(x, y, np.ones(len(y)), n_hidden=10, n_rounds=200, decay=1e-3, seed=SEED)
    save(net, out / "notes_network.npz")
    sys.stdout.write(f"{len(no_arrows)} no arrows, {len(rows)} rows, {int(y.sum())} written\n")


def _no_arrows(frame: TrueFrame, canvas: Canvas, ink: Mask) -> list[Floats]:
    light = frame.truth["light_clock"]
    none = []
    for one in candidates(ink, canvas.diagonal)[0]:
        dx, dy = one.tip - one.tail
        clock = clock_from_direction(-float(dx), float(dy))
        if light is None or abs(clock_difference_hours(clock, light)) > NO_ARROW_HOURS:
            none.append(one.features)
    return none


def _rows(frame: TrueFrame, canvas: Canvas, ink: Mask) -> tuple[list[Example], Mask]:
    """Rows of marks that surely are, or are not, handwriting; and the ink of those that are."""
    long_side = max(canvas.width, canvas.height)
    labels, rows = mark_rows(ink, long_side)
    truth = frame.truth
    things = [one["box"] for one in (*truth["supporting"], truth["subject"]) if one]
    examples, written = [], np.zeros_like(ink)
    for row in rows:
        box = canvas.box(*box_of(row))
        note = max((_share(box, b) for b in truth["notes"] + truth["notes_around"]), default=0)
        thing = max((_share(box, b) for b in things), default=0)
        in_frame = box.left > -PAD and box.right < 1 + PAD and box.top > -PAD < 1 - box.bottom
        if note > MOSTLY > thing:
            examples.append((features(row, long_side), 1.0))
            written |= np.isin(labels, [mark.label for mark in row])
        elif note < HARDLY and (thing > MOSTLY or in_frame):
            examples.append((features(row, long_side), 0.0))
    return examples, written


def _share(box: Box, of: list[float]) -> float:
    """Share of a box within another, that one padded."""
    across = min(box.right, of[2] + PAD) - max(box.left, of[0] - PAD)
    down = min(box.bottom, of[3] + PAD) - max(box.top, of[1] - PAD)
    return max(0.0, across) * max(0.0, down) / max(box.area_fraction, math.ulp(1.0))


def _mirrored(x: Floats) -> Floats:
    """Features of the arrows' mirror images in their shafts."""
    mirrored = x.copy()
    n = N_ALONG * N_ACROSS
    for start in (0, n):
        cells = x[:, start : start + n].reshape(-1, N_ACROSS, N_ALONG)
        mirrored[:, start : start + n] = cells[:, ::-1].reshape(-1, n)
    return mirrored


if __name__ == "__main__":
    main()
