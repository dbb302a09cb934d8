"""Compare subjects named by metadata with known ones; run by hand after new weights.

``python tests/benchmarks/check_named_subject.py [--tables TABLES ...] [--photographs DATA]``
simulates areas in the metadata on rendered tables (subjects and elements) and on the test
photographs under DATA/salient: a camera's points and focus areas on a random pixel of the thing,
and boxes around it with errors of a twentieth of its sides, as if drawn by hand. It prints how
often the centroid found is within tolerance, by the kind of area and by the confidence. It cannot
measure how often a photographer's focus area lies on something other than the subject.
"""

from __future__ import annotations

import argparse
import json
import sys
from collections.abc import Iterator
from pathlib import Path

import numpy as np
from numpy.typing import NDArray
from PIL import Image

sys.path.insert(0, str(Path(__file__).resolve().parents[2]))

from auditor.geometry import Box, Point, describe_mask, distance_fraction
from auditor.measurements.subject import TOLERANCE, subject_from_metadata
from auditor.measurements.subject.named import (
    BARE_CONFIDENCE,
    HELD_CONFIDENCE,
    OTHER_CONFIDENCE,
)
from tests.benchmarks.check_subject_figures import markdown
from tests.benchmarks.check_subject_kinds import (
    SUBJECT_INDEX,
    Known,
    find,
    tables,
    test_photographs,
)

FOCUS_WIDTHS = {"small focus area": 0.04, "focus area": 0.08, "focus zone": 0.25}  # of the frame
BY_HAND = "box by hand"
HAND_ERROR = 0.05  # of the thing's side, one standard deviation of each edge of a box
LEAST_SHARE = 0.003  # of the frame: smaller things are not named
CASES = {
    HELD_CONFIDENCE: "area that holds things",
    OTHER_CONFIDENCE: "another thing",
    BARE_CONFIDENCE: "drawn nearby or on bare ground",
}
NOTHING = "no thing under it, so the estimate"

Named = tuple[str, Box, bool]  # kind, box, True for a point


def named_areas(rng: np.random.Generator, mask: NDArray[np.bool_]) -> Iterator[Named]:
    """Areas for the thing of a mask, one of each kind."""
    height, width = mask.shape
    rows, columns = np.nonzero(mask)

    def anywhere() -> Point:
        pixel = rng.integers(rows.size)
        return Point((columns[pixel] + 0.5) / width, (rows[pixel] + 0.5) / height)

    yield "point", _around(anywhere(), 0, 0), True
    for kind, across in FOCUS_WIDTHS.items():
        middle, down = anywhere(), across * width / height
        yield kind, _around(middle, across, down), False
    region = describe_mask(mask)
    if region is not None:
        left, top, right, bottom = region.bbox
        error = rng.normal(0, HAND_ERROR, 4) * np.array([right - left, bottom - top] * 2)
        yield BY_HAND, Box(*(np.array(region.bbox) + error).tolist()), False


def _around(middle: Point, across: float, down: float) -> Box:
    x, y = middle
    return Box(x - across / 2, y - down / 2, x + across / 2, y + down / 2)


class Tally:
    """How often subjects are right, by the thing named and by the kind of area."""

    def __init__(self) -> None:
        self._answers: dict[str, dict[str, list[tuple[bool, float]]]] = {}

    def add(self, thing: str, known: Known, rng: np.random.Generator) -> None:
        """Name a known thing with every kind of area and compare the subjects with it."""
        truth = describe_mask(known.mask)
        if truth is None or truth.area_fraction < LEAST_SHARE:
            return
        maps, estimated = find(known.picture)
        rows = self._answers.setdefault(thing, {})
        for kind, box, is_point in named_areas(rng, known.mask):
            named = subject_from_metadata(
                box,
                maps.subject,
                maps.elements,
                is_point=is_point,
                is_by_camera=kind != BY_HAND,
            )
            answer = estimated if named is None else named
            region, sure = answer.region.value, answer.region.confidence or 0.0
            is_right = region is not None and (
                distance_fraction(region.centroid, truth.centroid, *known.picture.size) <= TOLERANCE
            )
            case = NOTHING if named is None else CASES.get(sure, "part of the finder's subject")
            for row in (kind, case):
                rows.setdefault(row, []).append((is_right, sure))

    def columns(self) -> dict[str, dict[str, str]]:
        """For each thing the share of right subjects, the mean confidence and the number."""
        return {
            thing: {row: _in_words(answers) for row, answers in rows.items()}
            for thing, rows in self._answers.items()
        }


def _in_words(answers: list[tuple[bool, float]]) -> str:
    right, sure = np.array(answers, dtype=float).mean(axis=0)
    return f"{right:.3f} (confidence {sure:.3f}) of {len(answers)}"


def elements(folder: Path) -> Iterator[Known]:
    """Elements of rendered tables, one by one."""
    for name in json.loads((folder / "truth.json").read_text(encoding="utf-8")):
        picture = Image.open(folder / name).convert("RGB")
        shown = np.asarray(Image.open((folder / "masks" / name).with_suffix(".png")))
        for index in range(SUBJECT_INDEX + 1, int(shown.max()) + 1):
            yield Known(name, picture, shown == index)


def main() -> None:
    """Print the shares of right subjects."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--tables", type=Path, nargs="+", default=[])
    parser.add_argument("--photographs", type=Path, help="folder with salient/")
    arguments = parser.parse_args()
    tally, rng = Tally(), np.random.default_rng(0)
    for folder in arguments.tables:
        for known in tables(folder):
            tally.add("subjects of tables", known, rng)
        for known in elements(folder):
            tally.add("elements of tables", known, rng)
    if arguments.photographs is not None:
        for known in test_photographs(arguments.photographs):
            tally.add("photographs", known, rng)
    sys.stdout.write(markdown(tally.columns()) + "\n")


if __name__ == "__main__":
    main()
