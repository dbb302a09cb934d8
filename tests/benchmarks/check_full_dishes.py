"""Compare the food on dishes that nearly fill the frame with boxes marked by eye; run by hand.

``python tests/benchmarks/check_full_dishes.py PHOTOGRAPHS fixtures/marked_full_dishes.json
[--names SPLIT.json KEY]`` prints, for each picture, the distance of the subject's box centre from
the food's (mean of two markings), as a fraction of the diagonal, and the overlap of the boxes, for
the whole dish as found and for the subject as measured. SPLIT has lists of names under keys.
"""

from __future__ import annotations

import argparse
import json
import sys
from pathlib import Path

import numpy as np

sys.path.insert(0, str(Path(__file__).resolve().parents[2]))

from auditor.geometry import Box, distance_fraction
from auditor.measurements.subject import FoundSubject, food_on_dish, measure_subject
from auditor.photograph.decode import read_photograph
from auditor.saliency import default_finder

GOAL = 0.06  # of the diagonal


def overlap(first: Box, second: Box) -> float:
    """Intersection over union of two boxes."""
    across = min(first.right, second.right) - max(first.left, second.left)
    down = min(first.bottom, second.bottom) - max(first.top, second.top)
    shared = max(across, 0.0) * max(down, 0.0)
    return shared / (first.area_fraction + second.area_fraction - shared)


def main() -> None:
    """Print the distances and overlaps, then their summary."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("photographs", type=Path)
    parser.add_argument("marks", type=Path)
    parser.add_argument("--names", nargs=2, metavar=("SPLIT", "KEY"))
    arguments = parser.parse_args()
    marks = json.loads(arguments.marks.read_text(encoding="utf-8"))
    names = sorted(marks)
    if arguments.names is not None:
        split, key = arguments.names
        chosen = json.loads(Path(split).read_text(encoding="utf-8"))[key]
        names = [name for name in names if name in chosen]
    rows = []
    for name in names:
        picture = read_photograph(arguments.photographs, name)
        maps = default_finder().find(picture.pixels).in_frame(picture.width, picture.height)
        dish = measure_subject(maps.subject, maps.elements)
        subject = food_on_dish(picture.pixels, dish)
        passes = [marks[name][which]["food"] for which in ("first", "second")]
        food = Box(*np.mean(passes, axis=0).tolist())
        size = (picture.width, picture.height)
        row = [*_compared(dish, food, size), *_compared(subject, food, size)]
        rows.append([*row, float(subject.is_food_on_dish)])
        _say(f"{name}: " + _in_words(rows[-1]))
    table = np.array(rows)
    near = (table[:, [0, 2]] <= GOAL).mean(axis=0)
    _say(
        f"{len(rows)} pictures, food told from its dish on {table[:, 4].sum():.0f}. "
        f"Centre within {GOAL}: dish {near[0]:.3f}, subject {near[1]:.3f}. "
        f"Median distance {np.median(table[:, 0]):.3f}, {np.median(table[:, 2]):.3f}. "
        f"Mean overlap {table[:, 1].mean():.3f}, {table[:, 3].mean():.3f}."
    )


def _compared(found: FoundSubject, food: Box, size: tuple[int, int]) -> tuple[float, float]:
    """Distance of the centres and overlap of the boxes; 1 and 0 without a subject."""
    if found.region.value is None:
        return 1.0, 0.0
    box = found.region.value.bbox
    return distance_fraction(box.centre, food.centre, *size), overlap(box, food)


def _in_words(row: list[float]) -> str:
    told = "food" if row[4] else "dish"
    return f"centre {row[0]:.3f} {row[2]:.3f}, overlap {row[1]:.2f} {row[3]:.2f}, {told}"


def _say(text: str) -> None:
    sys.stdout.write(text + "\n")
    sys.stdout.flush()


if __name__ == "__main__":
    main()
