"""Draw examples to files: ``python -m auditor.sketch.training.stored_examples STROKES OUT.npz``.

Half of the pages are composed of hand-drawn strokes, a quarter of drawings made here; a quarter of
the examples are frames of `more_drawings`.
"""

from __future__ import annotations

import argparse
from collections.abc import Iterator, Sequence
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from auditor.sketch.training import more_drawings
from auditor.sketch.training.examples import Example, example_of, examples_of
from auditor.sketch.training.varied import Varied
from fixtures.sketching import outline
from fixtures.sketching.own_hand import OwnHand
from fixtures.sketching.strokes import StrokeFolder

PLAIN_SHARE = 0.25  # of examples, frames of `more_drawings`
OWN_SHARE = 1 / 3  # of pages, drawn without the folder of strokes
COARSE_RASTER_PX = 200  # of outlines: fine enough for labels of this size


def draw_examples(strokes: Path, seed: int, plain_share: float) -> Iterator[Example]:
    """Draw without end; `plain_share` of the examples are frames of `more_drawings`."""
    outline.RASTER_PX = COARSE_RASTER_PX
    rng = np.random.default_rng(seed)
    own, folder = Varied(OwnHand()), Varied(StrokeFolder(strokes, "choosing"))
    n_plain, n_all = 0, 0
    while True:
        try:
            if n_plain < plain_share * (n_all + 1):
                plain = more_drawings.draw_frame(own if rng.random() < 0.5 else folder, rng)
                found = [example_of(plain, (), rng)]
                n_plain += 1
            else:
                found = examples_of(own if rng.random() < OWN_SHARE else folder, rng)
        except (ValueError, IndexError):
            continue  # a page without room for what was to be drawn
        n_all += len(found)
        yield from found


def read_examples(files: Sequence[Path]) -> tuple[NDArray[np.uint8], NDArray[np.uint8]]:
    """Ink (n, h, w, 3) and labels (n, h / 2, w / 2, m) of all files."""
    stored = [np.load(file) for file in files]
    ink, labels = (np.concatenate([one[name] for one in stored]) for name in ("ink", "labels"))
    return ink, labels


def main() -> None:
    """Read the arguments, draw, and write the file."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("strokes", type=Path, help="the folder of hand-drawn strokes")
    parser.add_argument("out", type=Path)
    parser.add_argument("--count", type=int, default=1500)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--plain-share", type=float, default=PLAIN_SHARE)
    given = parser.parse_args()
    drawing = draw_examples(given.strokes, given.seed, given.plain_share)
    drawn = [example for example, _ in zip(drawing, range(given.count), strict=False)]
    np.savez_compressed(
        given.out,
        ink=np.array([example.ink for example in drawn]),
        labels=np.array([example.labels for example in drawn]),
    )


if __name__ == "__main__":
    main()
